import type { HealthyChapter, HealthyRow, Hold } from "./holds.ts";

const row = (scenario: string, shows: string, ...holds: Hold[]): HealthyRow => ({ scenario, shows, holds });

/** A box as it should be, for as long as the scenario lasts. */
const WHOLE: readonly Hold[] = [{ promise: "H1" }, { promise: "H3" }, { promise: "H5" }];
/** The same in a heatwave, which may be called one. */
const HOT: readonly Hold[] = [
  { promise: "H1", allows: ["temperature-high", "temperature-very-high"] },
  { promise: "H3" },
];
const mishapAt = (atH: number): readonly Hold[] => [
  { promise: "H4", atH },
  { promise: "H7", atH },
];

/** When one part fails in the scenarios of this folder. */
const FAILS_AT_H = 24;
const spare = (...tells: string[]): readonly Hold[] => failed("spare", tells);
const alone = (...tells: string[]): readonly Hold[] => failed("alone", tells);
const stops = (...tells: string[]): readonly Hold[] => failed("stops", tells);
const failed = (place: "spare" | "alone" | "stops", tells: readonly string[]): readonly Hold[] => [
  { promise: "H6", atH: FAILS_AT_H, place, tells },
  { promise: "H7", atH: FAILS_AT_H },
];
const TOLD: readonly Hold[] = [{ promise: "H7", atH: FAILS_AT_H }];

/** Fourteen days from the eighth learned day. */
const WITHOUT_PROBE_H = 504;

export const HEALTHY_EXPECTATIONS: readonly HealthyChapter[] = [
  {
    title: "Nobody but a sitter",
    rows: [
      row("sitter-two-weeks", "Somebody only refills, two weeks", ...WHOLE),
      row("sitter-four-weeks", "Somebody only refills, four weeks", ...WHOLE),
      row("absence-told", "The same, told beforehand", ...WHOLE),
      row("nobody-two-weeks", "Nobody at all, and a reservoir that is large enough", ...WHOLE),
      row(
        "sitter-without-probe",
        "No conductivity probe explains a litre",
        { promise: "H2" },
        { promise: "H3", throttledFromH: WITHOUT_PROBE_H },
      ),
      row("dry-air-four-weeks", "Heated air in winter", ...WHOLE),
    ],
  },
  {
    title: "Ordinary weeks",
    rows: [
      row("return-pump-rests-told", "A return pump that rests every day, told", ...WHOLE),
      row("return-pump-rests-untold", "A return pump that rests every day, untold", ...WHOLE),
      row("water-changes-told", "Weekly water changes, told", ...WHOLE),
      row("water-changes-untold", "Weekly water changes, untold", ...WHOLE),
      row("warm-room", "A warm room that swings", ...HOT),
      row("swinging-room", "A room that swings by fifteen kelvin", ...HOT),
      row("cool-room", "A cool room", ...WHOLE),
      row("heatwave-fan-and-room-thermometer", "Heatwave: fan and room thermometer", ...HOT),
      row("heatwave-fan-alone", "Heatwave: fan alone", ...HOT),
      row("heatwave-room-thermometer-alone", "Heatwave: room thermometer alone", ...HOT),
      row("heatwave-bare", "Heatwave: neither", ...HOT),
      row("splashes-a-day-apart", "The high float is touched for half a second, now and then", ...WHOLE),
      row("splashes-every-day", "The high float is touched for half a second, four times a day", ...WHOLE),
    ],
  },
  {
    title: "Other boxes",
    rows: [
      row("box-of-40-litres", "A small box", ...WHOLE),
      row("box-of-400-litres", "A large box", ...WHOLE),
      row("two-heaters", "Two heaters", ...WHOLE),
      row("heater-in-last-chamber", "The heater stands where the level falls", ...WHOLE),
      row("no-thermometer-beside-heater", "The return sensor alone shows that the heater is cooled", ...WHOLE),
      row("without-low-float", "No low float", ...WHOLE),
      row("without-reservoir-float", "No reservoir float", ...WHOLE),
      row("without-floor-sensor", "No floor sensor", ...WHOLE),
      row("without-mains-sensor", "No mains sensor", ...WHOLE),
      row("without-return-sensor", "No return sensor", ...WHOLE),
      row("without-thermometer-1", "The display's thermometer alone", ...WHOLE),
      row("without-thermometer-2", "The heater's thermometer alone", ...WHOLE),
      row("without-room-thermometer", "No room thermometer", ...WHOLE),
      row("least-parts", "The least that settings allow", { promise: "H2" }, { promise: "H3" }, { promise: "H5" }),
    ],
  },
  {
    title: "Mishaps",
    rows: [
      row("hold-left-standing", "A forgotten hold", ...mishapAt(10)),
      row("question-unanswered", "A question that nobody answers", ...mishapAt(12)),
      row("measurement-mistyped-and-corrected", "A typing error, put right", ...mishapAt(20)),
      row("measurement-mistyped", "A typing error that stays", ...mishapAt(20)),
      row("restarted-once", "A restart", { promise: "H1" }, ...mishapAt(30)),
      row("memory-lost-once", "A restart without its memory", ...mishapAt(30)),
      row("dead-for-a-night", "The computer is dead for a night", ...mishapAt(36)),
      row("killed-in-eighty-pours", "Killed again and again while it pours", { promise: "H3" }, ...mishapAt(0)),
      row("killed-every-nine-minutes", "Killed again and again before it is ready", ...mishapAt(24)),
      row(
        "owed-litres-forgotten",
        "A surge of the return pump is no answer",
        { promise: "H3" },
        { promise: "H7", atH: 0 },
      ),
      row(
        "no-reservoir-float-runs-empty",
        "Nobody sees that the reservoir is empty",
        { promise: "H3" },
        { promise: "H7", atH: 0 },
      ),
      row("return-pump-flaps-for-days", "A loose plug of the return pump", { promise: "H5" }, ...mishapAt(24)),
      row("dry-winter", "Twice what was commissioned evaporates", { promise: "H3" }, { promise: "H7", atH: 0 }),
      row("damp-summer", "Half of what was commissioned evaporates", { promise: "H3" }, { promise: "H7", atH: 0 }),
    ],
  },
  {
    title: "One sensor fails",
    rows: [
      row(
        "thermometer-in-air-cool-room",
        "One of two thermometers",
        ...spare("thermometer-failed", "thermometers-disagree"),
      ),
      row(
        "thermometer-wire-open-cold-night",
        "One of two thermometers, in a cold night",
        ...spare("thermometer-failed"),
      ),
      row("high-float-wire-open-for-days", "The barrier against a flood", ...alone("float-failed")),
      row("low-float-wire-open-for-days", "The witness of a low level", ...alone("float-failed")),
      row("reservoir-float-wire-open-for-days", "The witness of an empty reservoir", ...alone("float-failed")),
      row("working-float-wire-open-for-days", "The float that asks for water", ...alone("float-failed")),
      row("mains-sensor-open-for-days", "A sensor that a box may be built without", ...alone("float-failed")),
      row("conductivity-open-for-days", "The witness of poured litres", ...alone("conductivity-probe-failed")),
      row("cell-in-air-once", "The witness of poured litres, for half an hour", { promise: "H3" }, ...TOLD),
      row("return-sensor-wrong-in-winter", "The only sensor of flow, in winter", ...alone("return-sensor-suspect")),
      row("low-float-open-heater-in-last-chamber", "The only sensor of the heater's cover", ...alone("float-failed")),
      row(
        "working-float-stuck-wet-with-witnesses",
        "Stuck at full, beside two witnesses",
        ...stops("water-under-low-mark"),
      ),
      row(
        "working-float-stuck-wet-alone",
        "Stuck at full, the only witness of the level",
        ...stops("top-off-withheld"),
      ),
    ],
  },
  {
    title: "Nothing harms in silence",
    rows: [
      row("floats-fouled-and-probe-frozen", "All that shows the level lies", ...TOLD),
      row("heater-dead-and-thermometer-frozen", "The heater is dead, and its only thermometer too", ...TOLD),
      row("both-thermometers-warm", "All that shows the temperature lies alike", { promise: "H3" }, ...TOLD),
      row("fan-dead-in-summer", "The fan is dead in summer", ...TOLD),
      row("fan-blows-for-ever", "The fan never rests", { promise: "H3" }, ...TOLD),
      row("weir-clogged-and-cleared-daily", "A clogged weir, and a clear every evening", { promise: "H7", atH: 1 }),
    ],
  },
];
