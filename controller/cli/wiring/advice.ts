import { OUTPUT_PARTS, PART_WORDS } from "../../../shared/contract/parts.ts";
import { FLOW_MARGIN, hasGuardFirmware, REST_OPTIONS, type Settings } from "../../../shared/settings/index.ts";
import { portOfPin } from "../../../shared/settings/wiring.ts";
import { openPins, pinWords } from "./pins.ts";

/** What these settings allow and somebody should look at before water is near. */
export const adviceOn = (settings: Settings): string[] => [
  ...benchAdvice(settings),
  ...floatAdvice(settings),
  ...openPinAdvice(settings),
  ...levelAdvice(settings),
  ...thermometerAdvice(settings),
  ...weldAdvice(settings),
  ...fanAdvice(settings),
];

const benchAdvice = ({ bench }: Settings): string[] =>
  bench.waitsDividedBy === 1
    ? []
    : [`Settings of a workbench: every wait is ${bench.waitsDividedBy} times shorter. Never above water.`];

/** Where something pours it is refused; a box that only watches is told. */
function floatAdvice({ inputs }: Settings): string[] {
  const { "working-float": working, "high-float": high } = inputs;
  if (!working || !high || working.board !== high.board) return [];
  if (portOfPin(working.pin) !== portOfPin(high.pin)) return [];
  return [
    `Pins ${working.pin} and ${high.pin} are one port of the board: a port that dies takes both floats. Better a pin ` +
      "of another eight (0–7, 8–15, 16–23).",
  ];
}

const openPinAdvice = (settings: Settings): string[] =>
  Object.keys(settings.boards).flatMap((board) => {
    const open = openPins(settings, board).map(pinWords);
    return open.length === 0
      ? []
      : [`Leave ${open.join(" and ")} of ${board} unconnected: standard firmware reports its contacts by them.`];
  });

const levelAdvice = (settings: Settings): string[] =>
  OUTPUT_PARTS.flatMap((part) => {
    const wiring = settings.outputs[part];
    if (wiring?.energisedLevel !== "low") return [];
    const words = PART_WORDS[part];
    if (!hasGuardFirmware(settings, wiring.board)) {
      return [`The ${words} closes on a low pin: at power-on, before Evenbrine speaks, it may close for a moment.`];
    }
    // Settings in which a guard is closed by a low pin are refused: it is closed by a pulse.
    const option = REST_OPTIONS[part as keyof typeof REST_OPTIONS];
    return [`The ${words} closes on a low pin: build the guard firmware with ${option}.`];
  });

function thermometerAdvice({ inputs }: Settings): string[] {
  const { "thermometer-1": first, "thermometer-2": second } = inputs;
  if (!first || !second || first.board !== second.board) return [];
  if ("device" in first) return ["Thermometers 1 and 2 belong on two 1-Wire buses: a short blinds all on its bus."];
  return ["Thermometers 1 and 2 share a line: what breaks it blinds both."];
}

function weldAdvice({ outputs }: Settings): string[] {
  const blind = OUTPUT_PARTS.filter((part) => outputs[part] && !outputs[part].sensed);
  if (blind.length === 0) return [];
  const names = blind.map((part) => PART_WORDS[part]).join(", ");
  return [`Not sensed behind the contact: ${names}. A weld shows only by its effect and by the monthly test.`];
}

/** Litres are charged as if the pump were stronger than proven. */
function fanAdvice({ topOff: { fan, dailyBudgetL } }: Settings): string[] {
  if (fan === null || dailyBudgetL >= FLOW_MARGIN * fan.evaporationLPerDay) return [];
  const hours = (24 * dailyBudgetL) / (FLOW_MARGIN * fan.evaporationLPerDay);
  return [`The daily budget makes good ${hours.toFixed(0)} hours of the fan in a day: longer, and the level falls.`];
}

/** Parts that are not fitted, and what nobody sees without them. */
export function missingParts({ inputs, outputs, heat }: Settings): string[] {
  const missing: string[] = [];
  const say = (isMissing: boolean, words: string) => {
    if (isMissing) missing.push(words);
  };
  const pump = outputs["top-off-pump"] !== undefined;
  const heater = outputs["heater-1"] !== undefined;
  say(!pump, "no top-off pump: fresh water is poured by hand");
  say(pump && !inputs["reservoir-float"], "no reservoir float: the pump may run dry");
  say(pump && !inputs["floor-sensor"], "no floor sensor: water on the floor is not seen");
  say(pump && !inputs["mains-sensor"], "no mains sensor: lost mains are not seen");
  say(
    pump && !inputs["return-sensor"],
    "no return-pump sensor: top-off does not wait for it, nor is a stuck float found",
  );
  say(!heater, "no heater: heat is left to others");
  say(heater && !inputs["low-float"], "no low float: falling water is not seen");
  say(heater && !inputs["thermometer-2"], "no second thermometer: the first is believed");
  say(!inputs["conductivity-probe"], "no conductivity probe: salinity by hand test alone");
  say(heater && !inputs["room-thermometer"], `no room thermometer: the room counts as ${heat.roomC} °C`);
  return missing;
}
