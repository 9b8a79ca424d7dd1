import { describeSetting, type Settings, type UnfinishedCheck } from "../../../shared/settings/index.ts";
import { describeBox } from "../box-words.ts";
import { typed } from "../typed.ts";
import { adviceOn, missingParts } from "../wiring/advice.ts";
import { whenItDies } from "../wiring/sheet.ts";

/** What the answers come to, before anything is written. */
export function describeResult({ settings, toMeasure }: UnfinishedCheck): string {
  if (settings === null) return "";
  const isWired = Object.keys(settings.boards).length > 0;
  return [
    ...(isWired
      ? []
      : [
          `\nNo board, bus or line was named: with this file \`${typed("run")}\` watches nothing; without any file it rehearses the tank, on simulated water.`,
        ]),
    // Litres that are not there yet say nothing of the box.
    ...(toMeasure.length === 0 ? list("What it means for the box", describeBox(settings)) : []),
    ...list("Still to be measured", toMeasure.map(describeSetting)),
    ...(isWired ? list("When this computer dies", [whenItDies(settings)]) : []),
    ...list("Look at this", adviceOn(settings)),
    ...(isWired ? list("Not fitted", missingParts(settings)) : []),
  ].join("\n");
}

const list = (title: string, lines: readonly string[]): string[] =>
  lines.length === 0 ? [] : [`\n${title}`, ...lines.map((words) => `- ${words}`)];

/** From a file to the first night alone. */
export function nextSteps(file: string, { inputs, outputs, boards }: Settings, toMeasure: number): string {
  if (Object.keys(boards).length === 0) return `${file} is written.`;
  const steps = [
    `${typed(`wiring ${file} --svg wiring-sheet.svg`)}: print it, wire by it on low voltage, no pump and no heater plugged in.`,
    ...(toMeasure === 0
      ? []
      : [
          `${typed(`init ${file}`)}, when the box stands: it asks for ${toMeasure === 1 ? "the measure that is" : `the ${toMeasure} measures that are`} missing.`,
        ]),
    `${typed(`check ${file}`)}: after every change of the file.`,
    `${typed(`run ${file}`)}: lift every float, and see both its positions on the dashboard; pull every connector.`,
    `${typed("prove")}, in a second terminal at the tank: it leads along every part, floats first. What is not proven stays off.`,
    ...(inputs["conductivity-probe"]
      ? [`${typed("calibrate conductivity")}, in the same terminal: until then salinity is as sure as its maker says.`]
      : []),
    ...(outputs["top-off-pump"]
      ? [
          "Stay for the first pours, and for a whole day. Then the first night alone, with the alarm reaching you and no " +
            "more in the reservoir than the box can take.",
        ]
      : []),
  ];
  const accepted = toMeasure === 0 ? `, and \`${typed("check")}\` accepts it` : "";
  return `${file} is written${accepted}. Next:\n${steps.map((step, index) => `${index + 1}. ${step}`).join("\n")}`;
}
