import { SOURCE_TDS_FACTOR, sourceWaterFrom } from "../../shared/chemistry/index.ts";
import type { Image } from "../../shared/contract/image.ts";
import { CONTACT_PARTS, OUTPUT_PARTS, PART_WORDS, THERMOMETER_PARTS } from "../../shared/contract/parts.ts";
import type {
  ConductivityReading,
  ContactReading,
  Reading,
  ReadingFault,
  Readings,
} from "../../shared/contract/reading.ts";
import type { Settings } from "../../shared/settings/index.ts";

/** What every input that is wired says now, for a person with a screwdriver. */
export function inputSentences(
  { outputs }: Settings,
  readings: Readings,
  seen: Image["seen"],
  button: ContactReading | null = null,
): readonly string[] {
  const contacts = CONTACT_PARTS.map((part) =>
    sentence(PART_WORDS[part], readings[part], (on) =>
      part.endsWith("-sensor") && part !== "floor-sensor" ? onOff(on) : wetDry(on),
    ),
  );
  const thermometers = THERMOMETER_PARTS.map((part) =>
    sentence(PART_WORDS[part], readings[part], (celsius) => `${celsius.toFixed(2)} °C`),
  );
  const probe = sentence(PART_WORDS["conductivity-probe"], readings["conductivity-probe"], cellWords);
  const source = sentence("source probe", readings["source-probe"] ?? null, (cell) => {
    const water = sourceWaterFrom(cell);
    const solids = water && `${water.tdsMgPerL.toFixed(1)} mg/L dissolved solids at the factor ${SOURCE_TDS_FACTOR}`;
    return solids ? `${cellWords(cell)}, ${solids}` : cellWords(cell);
  });
  const sensed = OUTPUT_PARTS.filter((part) => outputs[part]?.sensed).map((part) => {
    const said = seen[part] === null ? "its sensor says nothing" : onOff(seen[part]);
    return `behind the contact of ${PART_WORDS[part]}: ${said}.`;
  });
  const pressed = sentence("button at the tank", button, (on) => (on ? "pressed" : "not pressed"));
  return [...contacts, pressed, ...thermometers, probe, source].filter((said) => said !== null).concat(sensed);
}

function cellWords({ conductivityMsPerCm, temperatureC }: ConductivityReading): string {
  const cell = `${conductivityMsPerCm.toFixed(conductivityMsPerCm < 1 ? 4 : 2)} mS/cm`;
  return temperatureC === null ? cell : `${cell} at ${temperatureC.toFixed(2)} °C`;
}

const wetDry = (on: boolean): string => (on ? "wet" : "dry");
const onOff = (on: boolean): string => (on ? "on" : "off");

function sentence<Value>(name: string, reading: Reading<Value> | null, say: (value: Value) => string): string | null {
  if (reading === null) return null;
  if (reading.fault !== null) return `${name}: ${FAULT_WORDS[reading.fault]}.`;
  return `${name}: ${say(reading.value)}, ${reading.ageMs} ms ago.`;
}

const FAULT_WORDS: Record<ReadingFault, string> = {
  "not-yet": "has not been read yet",
  "no-answer": "does not answer",
  garbled: "answers, but not whole",
  "not-a-number": "answers with no number",
  "open-circuit": "its wire is broken",
  "short-circuit": "its wire is shorted",
  "power-on-value": "has not measured since its power came on: 85 °C is what it then says",
  "all-zero": "its line is shorted: it reads nothing but zeros",
  disconnected: "is disconnected",
};
