import { type ControllerFaults, type Fault, type FaultKind, type FaultValue, NO_VALUE, number } from "./kind.ts";

/** What happens to the computer. All of it happens at one moment. */
const atOnce = (
  kind: string,
  value: FaultValue,
  says: string,
  begin: (controller: ControllerFaults, fault: Fault) => void,
): FaultKind => ({
  kind,
  of: "controller",
  parts: [],
  partImplied: true,
  value,
  says,
  begin: ({ controller }, fault) => {
    if (controller !== null) begin(controller, fault);
  },
  end: null,
});

const OFF_S = number(0, 31_536_000, 30, "s until it is back");

export const CONTROLLER_FAULTS: readonly FaultKind[] = [
  atOnce("controller-killed", OFF_S, "The controller is killed and comes back.", (controller, fault) =>
    controller.kill(fault.value * 1000),
  ),
  atOnce("kill-mid-pour", OFF_S, "The controller is killed in the middle of its next pour.", (controller, fault) =>
    controller.killInNextPour(fault.value * 1000),
  ),
  atOnce("memory-lost", NO_VALUE, "At the next restart the stored memory is gone.", (controller) =>
    controller.loseMemory(),
  ),
  atOnce(
    "memory-old",
    number(0.01, 87_600, 24, "h old"),
    "At the next restart an older memory is found.",
    (controller, fault) => controller.useOldMemory(fault.value),
  ),
  atOnce("clock-jump", number(-1e9, 1e9, 3600, "s"), "The wall clock jumps.", (controller, fault) =>
    controller.jumpClock(fault.value * 1000),
  ),
  {
    ...atOnce(
      "broker-down",
      NO_VALUE,
      "The broker is gone. The water must not notice, and here nothing else can.",
      () => {
        // A rehearsal speaks to no broker: this row is here so that its absence can be shown to change nothing.
      },
    ),
    end: () => {
      // Nothing began, so nothing ends.
    },
  },
];
