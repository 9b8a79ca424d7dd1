import { CONTACT_PARTS, GUARD_OF, HEATER_PARTS } from "../../../shared/contract/parts.ts";
import type { SettingsFile } from "../../../shared/settings/index.ts";
import { nameOfContact, USUAL_PINS } from "./contacts.ts";

/** What somebody would have answered to get this file: each question offers it when the file is changed. */
export function answersOfFile(file: SettingsFile): Map<string, string> {
  const answers = new Map<string, string>();
  const put = (id: string, value: string | number | null | undefined, unit = "") => {
    if (value !== undefined && value !== null) answers.set(id, `${value}${unit === "" ? "" : ` ${unit}`}`);
  };
  putBox(file, put);
  putWiring(file, put);
  putLitres(file, put);
  putHeat(file, put);
  return answers;
}

type Put = (id: string, value: string | number | null | undefined, unit?: string) => void;

function putBox({ units, tank, targets }: SettingsFile, put: Put): void {
  put("units", units?.temperature === "°F" ? "us" : units?.volume === "UK gal" ? "uk" : "metric");
  put("tank.name", tank?.name);
  put("tank.netVolumeL", tank?.netVolumeL, "L");
  put("targets.temperatureC", targets?.temperatureC, "°C");
  put("targets.salinity", targets?.salinity);
}

function putWiring({ boards = {}, inputs = {}, outputs = {}, ...file }: SettingsFile, put: Put): void {
  put("drives.pump", yesNo(outputs["top-off-pump"]));
  put("drives.heater", yesNo(outputs["heater-1"]));
  const board = Object.values(boards).find(({ kind }) => kind === "firmata");
  put("board", yesNo(board));
  if (board?.kind === "firmata") {
    put("board.port", board.port);
    put("board.firmware", board.firmware ?? "standard");
  }
  const fitted = CONTACT_PARTS.filter((part) => inputs[part] !== undefined);
  const listed = fitted.filter((part) => outputs["top-off-pump"] === undefined || !/^(working|high)/.test(part));
  put("contacts", listed.length === 0 ? "none" : listed.map(nameOfContact).join(" "));
  const areUsual = fitted.every((part) => pinOf(USUAL_PINS[part]) === inputs[part]?.pin);
  put("usualPins", areUsual ? "yes" : "no");
  for (const part of fitted) put(`inputs.${part}.pin`, inputs[part]?.pin);
  for (const part of ["thermometer-1", "thermometer-2", "room-thermometer", "conductivity-probe"] as const) {
    put(`inputs.${part}`, inputs[part] === undefined ? "none" : "as-it-is");
  }
  for (const part of [...Object.keys(GUARD_OF), ...Object.values(GUARD_OF)] as (keyof typeof outputs)[]) {
    put(`outputs.${part}.pin`, outputs[part]?.pin);
    put(`outputs.${part}.energisedLevel`, outputs[part]?.energisedLevel);
    put(`outputs.${part}.sensed.pin`, outputs[part]?.sensed?.pin ?? "none");
  }
  const isSensed = Object.values(outputs).some((wiring) => wiring?.sensed !== undefined);
  const isLow = Object.values(outputs).some((wiring) => wiring?.energisedLevel === "low");
  const extras = {
    button: inputs["tank-button"],
    sensed: isSensed || undefined,
    "low-relays": isLow || undefined,
    fan: file.topOff?.fan ?? undefined,
  };
  const words = Object.entries(extras).flatMap(([word, is]) => (is === undefined ? [] : [word]));
  put("extras", words.length === 0 ? "none" : words.join(" "));
  put("inputs.tank-button.pin", inputs["tank-button"]?.pin);
  put("letsGo", file.independentGuard ? "switch" : "attended");
  put("independentGuard", file.independentGuard);
  put("attendedMinutes", file.attendedMinutes);
}

function putLitres({ tank, topOff }: SettingsFile, put: Put): void {
  put("measures", "now");
  put("tank.lastChamberM2", tank?.lastChamberM2 && `${tank.lastChamberM2 * 1e4} x 100`, "mm");
  put("tank.surfaceM2", tank?.surfaceM2 && `${tank.surfaceM2 * 1e3} x 1000`, "mm");
  for (const path of ["floatHysteresisMm", "pumpOffLevelMm", "highFloatMm"] as const)
    put(`tank.${path}`, tank?.[path], "mm");
  put("tank.lowFloatMm", tank?.lowFloatMm && -tank.lowFloatMm, "mm");
  put("tank.freeVolumePumpOffL", tank?.freeVolumePumpOffL, "L");
  put("tank.freeVolumeWeirBlockedL", tank?.freeVolumeWeirBlockedL, "L");
  put("topOff.provenFlow", topOff?.provenFlowLPerMin && topOff.provenFlowLPerMin * 500, "mL");
  put("topOff.evaporationLPerDay", topOff?.evaporationLPerDay, "L/d");
  const large = topOff?.largeReservoir ?? null;
  if (large === null) put("topOff.reservoirL", topOff?.reservoirL, "L");
  else {
    put("topOff.reservoirL", "larger");
    put("topOff.largeReservoir.noSiphon", large.noSiphon);
    put("topOff.largeReservoir.highFloatInSeries", "yes");
    put("topOff.largeReservoir.displayGuard", large.displayGuard);
    put("topOff.largeReservoir.because", large.because);
    put("topOff.largeReservoir.litres", topOff?.reservoirL, "L");
  }
  put("topOff.fan.aboveC", topOff?.fan?.aboveC, "°C");
  put("topOff.fan.evaporationLPerDay", topOff?.fan?.evaporationLPerDay, "L/d");
}

function putHeat({ heat, outputs }: SettingsFile, put: Put): void {
  put("heat.coldestRoomC", heat?.coldestRoomC, "°C");
  put("heat.roomC", heat?.roomC, "°C");
  put("heat.returnPumpW", heat?.returnPumpW, "W");
  put("heaters", outputs?.["heater-1"] && (heat?.secondHeater ? "2" : "1"));
  for (const heater of HEATER_PARTS) {
    const at = heater === "heater-1" ? "heat" : "heat.secondHeater";
    const own = heater === "heater-1" ? heat : heat?.secondHeater;
    put(`${at}.heaterW`, own?.heaterW, "W");
    put(`${at}.heaterPlace`, own?.heaterPlace);
    const shares = own?.thermometerSharesHeaterChamber;
    put(`${at}.thermometerSharesHeaterChamber`, shares === undefined ? undefined : shares ? "yes" : "no");
  }
}

const yesNo = (is: unknown): "yes" | "no" => (is === undefined ? "no" : "yes");
const pinOf = (usual: string): number => (usual.startsWith("A") ? 14 + Number(usual.slice(1)) : Number(usual));
