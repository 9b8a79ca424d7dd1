import { GUARD_OF, OUTPUT_PARTS, type OutputPart } from "../../../shared/contract/index.ts";
import type { Contact } from "../plant/contact.ts";
import { type FaultKind, NO_VALUE, type World } from "./kind.ts";

const contact = (world: World, part: string): Contact => world.tank.state.contacts[part as OutputPart];

const set = (kind: string, which: "welded" | "dead", says: string): FaultKind => ({
  kind,
  parts: OUTPUT_PARTS,
  partImplied: false,
  value: NO_VALUE,
  says,
  begin: (world, fault) => {
    // What breaks later in another way is broken so from then on.
    Object.assign(contact(world, fault.part), { welded: which === "welded", dead: which === "dead" });
  },
  end: (world, fault) => {
    contact(world, fault.part)[which] = false;
  },
});

function weldPair(world: World, part: string, welded: boolean): void {
  const guard = GUARD_OF[part as keyof typeof GUARD_OF];
  for (const each of [part, guard]) Object.assign(contact(world, each), { welded, dead: false });
}

/** Relays and guard contacts. */
export const SWITCH_FAULTS: readonly FaultKind[] = [
  set("relay-welded", "welded", "A contact is welded: it stays closed."),
  set("relay-dead", "dead", "A contact does not close any more."),
  {
    kind: "guard-and-relay-welded",
    parts: ["top-off-pump", "heater-1", "heater-2"],
    partImplied: false,
    value: NO_VALUE,
    says: "A relay and the guard contact in series with it are both welded: nothing can switch it off.",
    begin: (world, fault) => weldPair(world, fault.part, true),
    end: (world, fault) => weldPair(world, fault.part, false),
  },
];
