import { access, rename, rm, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { Command } from "commander";
import { checkSettings, type Settings } from "../../../shared/settings/index.ts";
import { listThermometers } from "../../boards/one-wire.ts";
import { listPorts } from "../../boards/port-list.ts";
import { typed } from "../typed.ts";
import { sheetOf } from "../wiring/sheet.ts";
import { AnswersEnded, type Dialogue, openDialogue } from "./dialogue.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import { interview } from "./interview.ts";
import { line, yesOrNo } from "./questions.ts";

/** `evenbrine init`: a questionnaire at the terminal that ends in a settings file. */
export const initCommand = (): Command =>
  new Command("init")
    .description("answer a short questionnaire and get a settings file, each choice explained")
    .argument("[settings]", "settings file to write (JSON)", "settings.json")
    .action(async (file: string) => {
      const dialogue = openDialogue(process.stdin, process.stdout);
      try {
        process.exitCode = await write(dialogue, file);
      } catch (error) {
        if (!(error instanceof AnswersEnded)) throw error;
        console.error("\nThe answers ended before the questions did. Nothing was written.");
        process.exitCode = 1;
      } finally {
        dialogue.close();
      }
    });

async function write(dialogue: Dialogue, asked: string): Promise<number> {
  const file = await askFile(dialogue, asked);
  if (!(await exists(dirname(file)))) {
    console.error(`There is no folder ${dirname(file)}. Nothing was asked and nothing was written.`);
    return 1;
  }
  const draft = await interview(dialogue, await pluggedIn());
  const { settings, faults } = checkSettings(draft);
  if (Object.keys(draft.boards).length === 0) {
    dialogue.say(
      `\nNo board, bus or line was named: with this file \`${typed("run")}\` rehearses the tank, on simulated water.`,
    );
  }
  if (settings !== null) tell(dialogue, settings);
  if (!(await dialogue.ask(yesOrNo({ id: "write", asks: `Write ${file}`, usual: "yes" })))) {
    dialogue.say("Nothing was written.");
    return 1;
  }
  try {
    await put(file, draft);
  } catch (error) {
    console.error(`${file} cannot be written: ${(error as Error).message}`);
    return 1;
  }
  if (settings === null) {
    dialogue.say(`${file} is written, but \`${typed("check")}\` does not accept it yet:`);
    for (const { path, expected } of faults) dialogue.say(`  ${path}: expected ${expected}`);
    return 1;
  }
  dialogue.say(nextSteps(file, settings));
  return 0;
}

async function askFile({ ask }: Dialogue, asked: string): Promise<string> {
  let file = asked;
  while (await exists(file)) {
    if (await ask(yesOrNo({ id: "replace", asks: `${file} is there already. Replace it when all is answered` })))
      return file;
    file = await ask(line({ id: "file", asks: "Which other file" }, "the name of a file", (name) => name !== ""));
  }
  return file;
}

/** Whole or not at all: a file that was there stays until its successor is on the disk. */
async function put(file: string, draft: Draft): Promise<void> {
  const beside = `${file}.${process.pid}.new`;
  try {
    await writeFile(beside, `${JSON.stringify(withoutEmpty(draft), null, 2)}\n`, { flag: "wx" });
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
}

const withoutEmpty = (draft: Draft): object =>
  Object.fromEntries(
    Object.entries(draft).filter(([, value]) => typeof value !== "object" || Object.keys(value).length > 0),
  );

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

async function pluggedIn(): Promise<PluggedIn> {
  const [ports, thermometers] = await Promise.all([
    listPorts().catch(() => []),
    listThermometers("/sys/bus/w1/devices"),
  ]);
  return { ports: ports.map(({ lastingPath }) => lastingPath), thermometers };
}

function tell({ say }: Dialogue, settings: Settings): void {
  const { budgetLines, whenItDies, advice, missing } = sheetOf(settings);
  const listed = (title: string, lines: readonly string[]) =>
    lines.length === 0 ? "" : `\n${title}\n${lines.map((words) => `- ${words}`).join("\n")}`;
  if (settings.outputs["top-off-pump"]) say(listed("The budget of the box", budgetLines));
  say(listed("When this computer dies", [whenItDies]));
  say(listed("Look at this", advice));
  say(listed("Not fitted", missing));
}

/** From a file to the first night alone. */
function nextSteps(file: string, settings: Settings): string {
  const { inputs, outputs } = settings;
  const steps = [
    `${typed(`wiring ${file} --svg wiring-sheet.svg`)}: print it, wire by it on low voltage, no pump and no heater plugged in.`,
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
  return `${file} is written, and \`${typed("check")}\` accepts it. Next:\n${steps.map((step, index) => `${index + 1}. ${step}`).join("\n")}`;
}
