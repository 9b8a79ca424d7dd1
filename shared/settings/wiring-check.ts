import { OUTPUT_PARTS } from "../contract/parts.ts";
import { brokenWireFaults } from "./broken-wire.ts";
import { hasGuardFirmware } from "./guard-firmware.ts";
import { pinFaults } from "./pin-check.ts";
import { listPlacedParts } from "./placed-parts.ts";
import type { Settings } from "./schema.ts";
import type { SettingsFault } from "./settings-fault.ts";
import type { Boards, ConductivityWiring, ThermometerWiring } from "./wiring.ts";

/** What must hold between the boards and the parts that hang on them. */
export const wiringFaults = (settings: Settings): SettingsFault[] => [
  ...portFaults(settings.boards),
  ...placeFaults(settings),
  ...pinFaults(settings),
  ...brokenWireFaults(settings),
  ...sameThermometer(settings),
  ...sameCell(settings),
  ...compensationFaults(settings),
  ...supervisionFaults(settings),
  ...outputFaults(settings),
  ...unattendedFaults(settings),
  ...guardBoundFaults(settings),
];

/** Two names for one port: the second would find it held by the first. */
function portFaults(boards: Boards): SettingsFault[] {
  const owners = new Map<string, string>();
  return Object.entries(boards).flatMap(([name, board]) => {
    const [key, port] = board.kind === "one-wire" ? ["folder", board.folder] : ["port", board.port];
    const owner = owners.get(port);
    owners.set(port, name);
    const expected = `a ${key} of its own: boards.${owner} has it`;
    return owner === undefined ? [] : [{ path: `boards.${name}.${key}`, value: port, expected }];
  });
}

function placeFaults(settings: Settings): SettingsFault[] {
  return listPlacedParts(settings).flatMap(({ place, wiring }) => {
    const board = settings.boards[wiring.board];
    const wanted = kindFor(wiring);
    if (board === undefined || board.kind !== wanted) {
      const expected = `the name of a ${wanted} board in \`boards\``;
      return [{ path: `${place}.board`, value: wiring.board, expected }];
    }
    if (board.kind !== "text" || !("text" in wiring)) return [];
    return groupsOf(wiring.text as TextGroups)
      .filter(({ group }) => !board.pattern.includes(`(?<${group}>`))
      .map(({ group, key }) => ({
        path: `${place}.text.${key}`,
        value: group,
        expected: `the name of a group in boards.${wiring.board}.pattern`,
      }));
  });
}

const kindFor = (wiring: object): Boards[string]["kind"] => {
  if ("pin" in wiring) return "firmata";
  if ("device" in wiring) return "one-wire";
  return "text" in wiring ? "text" : "modbus";
};

interface TextGroups {
  readonly group: string;
  readonly temperature?: { readonly group: string } | null;
}

const groupsOf = ({ group, temperature }: TextGroups) => [
  { group, key: "group" },
  ...(temperature ? [{ group: temperature.group, key: "temperature.group" }] : []),
];

/** One probe under two names would always agree with itself. */
function sameThermometer({ inputs }: Settings): SettingsFault[] {
  const [first, second] = [inputs["thermometer-1"], inputs["thermometer-2"]];
  if (!first || !second || sourceOf(first) !== sourceOf(second)) return [];
  const expected = "another probe than thermometer-1: two readings of one probe always agree";
  return [{ path: "inputs.thermometer-2", value: undefined, expected }];
}

function sameCell({ inputs }: Settings): SettingsFault[] {
  const [tank, source] = [inputs["conductivity-probe"], inputs["source-probe"]];
  if (!tank || !source || cellOf(tank) !== cellOf(source)) return [];
  const expected = "another cell than conductivity-probe: one cell hangs in the tank or in the source water";
  return [{ path: "inputs.source-probe", value: undefined, expected }];
}

function cellOf(wiring: ConductivityWiring): string {
  if ("text" in wiring) return `${wiring.board} ${wiring.text.group}`;
  const { table, address } = wiring.conductivityMsPerCm;
  return `${wiring.board} ${wiring.slave} ${table} ${address}`;
}

function sourceOf(wiring: ThermometerWiring): string {
  if ("slave" in wiring) {
    const { table, address } = wiring.temperatureC;
    return `${wiring.board} ${wiring.slave} ${table} ${address}`;
  }
  if ("device" in wiring) return `${wiring.board} ${wiring.device}`;
  return "pin" in wiring ? `${wiring.board} ${wiring.pin}` : `${wiring.board} ${wiring.text.group}`;
}

function compensationFaults({ inputs }: Settings): SettingsFault[] {
  return (["conductivity-probe", "source-probe"] as const).flatMap((part) => {
    const wiring = inputs[part];
    return wiring === undefined ? [] : instrumentFaults(`inputs.${part}`, wiring);
  });
}

/** What an instrument has done to its value can only be undone with what it did it by. */
function instrumentFaults(place: string, wiring: ConductivityWiring): SettingsFault[] {
  const faults: SettingsFault[] = [];
  const own = "text" in wiring ? wiring.text.temperature : wiring.temperatureC;
  if (wiring.compensation !== "none" && own === null) {
    const path = `${place}.${"text" in wiring ? "text.temperature" : "temperatureC"}`;
    const expected =
      "the temperature that the instrument compensates with: without it the compensation cannot be undone";
    faults.push({ path, value: null, expected });
  }
  if (!("text" in wiring) || wiring.text.unit !== "mg/L TDS") return faults;
  if (wiring.text.tdsFactor === undefined) {
    const expected = "the factor by which the instrument makes mg/L out of µS/cm, 0.4 to 1";
    faults.push({ path: `${place}.text.tdsFactor`, value: undefined, expected });
  }
  if (wiring.compensation === "none") {
    const expected = "how it compensates: an instrument that shows dissolved solids does";
    faults.push({ path: `${place}.compensation`, value: "none", expected });
  }
  return faults;
}

/** The least share of the supply by which the four states of a supervised line must lie apart. */
const APART = 0.08;

function supervisionFaults({ inputs }: Settings): SettingsFault[] {
  return Object.entries(inputs).flatMap(([part, wiring]) => {
    if (wiring === undefined || !("supervised" in wiring) || wiring.supervised === undefined) return [];
    const { pullUpOhms, closedOhms, openOhms } = wiring.supervised;
    const share = (ohms: number) => ohms / (ohms + pullUpOhms);
    const steps = [0, share(closedOhms), share(openOhms), 1];
    const isClear = steps.every((step, index) => index === 0 || step - (steps[index - 1] as number) >= APART);
    const expected = "short, closed, open and broken at least 8 % of the supply apart, in this order";
    return isClear ? [] : [{ path: `inputs.${part}.supervised`, value: wiring.supervised, expected }];
  });
}

/** A relay without its guard contact would be the only switch in front of a pump or a heater. */
function outputFaults({ outputs, inputs, heat }: Settings): SettingsFault[] {
  const faults: SettingsFault[] = [];
  // A file that wires nothing describes a box to rehearse with.
  const unwired = Object.keys(outputs).length === 0 ? true : undefined;
  const need = (has: unknown, needs: unknown, path: string, expected: string) => {
    if (has !== undefined && needs === undefined) faults.push({ path, value: undefined, expected });
  };
  need(outputs["top-off-pump"], outputs["water-guard"], "outputs.water-guard", "a second switch for the pump");
  need(outputs["heater-1"], outputs["heat-guard"], "outputs.heat-guard", "a second switch for the heater");
  need(outputs["heater-2"], outputs["heat-guard-2"], "outputs.heat-guard-2", "a second switch for the second heater");
  need(outputs["heater-2"], outputs["heater-1"], "outputs.heater-1", "the first heater, before there is a second");
  need(outputs["heater-2"], heat.secondHeater ?? undefined, "heat.secondHeater", "what the second heater is");
  need(heat.secondHeater ?? undefined, outputs["heater-2"] ?? unwired, "outputs.heater-2", "the second heater's relay");
  need(outputs["top-off-pump"], inputs["working-float"], "inputs.working-float", "a working float for top-off");
  need(outputs["top-off-pump"], inputs["high-float"], "inputs.high-float", "a high float for top-off");
  need(
    outputs["heater-1"],
    inputs["thermometer-1"] ?? inputs["conductivity-probe"],
    "inputs.thermometer-1",
    "a thermometer for the heater",
  );
  return faults;
}

const carriersOf = ({ boards, outputs }: Settings) =>
  OUTPUT_PARTS.flatMap((part) => outputs[part] ?? []).flatMap(({ board }) => {
    const carrier = boards[board];
    return carrier?.kind === "firmata" ? [{ name: board, firmware: carrier.firmware }] : [];
  });

/** Standard firmware holds its outputs for ever when the host dies: something else must then open pump and heater. */
function unattendedFaults(settings: Settings): SettingsFault[] {
  const held = carriersOf(settings).find(({ firmware }) => firmware === "standard");
  if (held === undefined || settings.independentGuard !== null || settings.attendedMinutes !== null) return [];
  const expected =
    "what opens pump and heater when this computer dies, for standard firmware holds them on; " +
    `or the guard firmware (boards.${held.name}.firmware); or attendedMinutes, while somebody stays beside the box`;
  return [{ path: "independentGuard", value: null, expected }];
}

/** What the guard firmware allows: 60 s in any ten minutes. A tenth is left for pumps that are weaker than proven. */
const PUMP_MOST_S = 54;
const WINDOW_S = 600;

/** Slices that follow each other as fast as the settings let them must not trip the guard: that would lock the pump. */
function guardBoundFaults(settings: Settings): SettingsFault[] {
  const pump = settings.outputs["top-off-pump"];
  if (pump === undefined || !hasGuardFirmware(settings, pump.board)) return [];
  const { sliceMl, settleS, provenFlowLPerMin } = settings.topOff;
  const pumpS = (ml: number) => {
    const sliceS = ml / 1000 / (provenFlowLPerMin / 60);
    return Math.ceil(WINDOW_S / (sliceS + settleS)) * sliceS;
  };
  if (pumpS(sliceMl) <= PUMP_MOST_S) return [];
  let most = sliceMl;
  while (most > 0 && pumpS(most) > PUMP_MOST_S) most -= 5;
  const size = most >= 20 ? `at most ${Math.floor(most)} mL, or ` : "";
  const expected = `${size}a longer topOff.settleS: the guard firmware locks a pump that runs 60 s within ten minutes`;
  return [{ path: "topOff.sliceMl", value: sliceMl, expected }];
}
