import { access, readFile, rename, rm, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { Command } from "commander";
import { checkUnfinished, type SettingsFile, type UnfinishedCheck } from "../../../shared/settings/index.ts";
import { listThermometers } from "../../boards/one-wire.ts";
import { listPorts } from "../../boards/port-list.ts";
import { buildChoice, buildText, buildYesOrNo, type Conversation } from "../conversation/question.ts";
import { canAsk, Left, openConversation, thisTerminal, WentBack } from "../conversation/terminal.ts";
import { typed } from "../typed.ts";
import { answersOfFile } from "./answers-of-file.ts";
import { type Answers, conduct } from "./conduct.ts";
import type { PluggedIn } from "./draft.ts";
import { type Existing, mergeWithExisting } from "./existing.ts";
import { interview } from "./interview.ts";
import { type KeptAnswers, keptAnswersFor } from "./kept-answers.ts";
import { describeResult, nextSteps } from "./result.ts";

/** `evenbrine init`: a questionnaire at the terminal that ends in a settings file. */
export const initCommand = (): Command =>
  new Command("init")
    .description(
      "answer a questionnaire and get a settings file, each choice explained; or change the file that is there",
    )
    .argument("[settings]", "settings file to write (JSON)", "settings.json")
    .action(async (file: string) => {
      process.exitCode = await initialise(file);
    });

async function initialise(file: string): Promise<number> {
  if (!canAsk(thisTerminal)) {
    console.error("Questions are asked at a terminal, and this is none. Nothing was written.");
    return 1;
  }
  if (!(await exists(dirname(file)))) {
    console.error(`There is no folder ${dirname(file)}. Nothing was asked and nothing was written.`);
    return 1;
  }
  const conversation = openConversation(thisTerminal, { words: { back: () => new WentBack() } });
  const sittings: { kept: KeptAnswers | null } = { kept: null };
  try {
    return await sit(conversation, file, (kept) => (sittings.kept = kept));
  } catch (error) {
    if (!(error instanceof Left)) throw error;
    const count = sittings.kept?.read().size ?? 0;
    console.error(
      count === 0
        ? "\nNothing was written."
        : `\nNo settings were written yet, and no answer is lost: ${count} are kept. The same command goes on with them.`,
    );
    return 1;
  }
}

interface Start {
  readonly file: string;
  readonly existing: Existing | null;
  readonly given: Answers;
  readonly offered: Answers;
}

async function sit(conversation: Conversation, asked: string, keepIn: (kept: KeptAnswers) => void): Promise<number> {
  const { file, existing, given, offered } = await askWhere(conversation, asked);
  const kept = keptAnswersFor(file);
  keepIn(kept);
  conversation.say(
    "Enter takes what stands in [ ]. `?` explains a question, `back` leads to the one before. Ctrl-C leaves: no answer is lost.",
  );
  const plugged = await listPluggedIn();
  return conduct(conversation, { given, offered, keep: kept.write }, async (asking) => {
    const draft = await interview(asking, plugged, existing);
    const content = mergeWithExisting(draft, existing);
    const result = checkUnfinished(content);
    asking.say(describeResult(result));
    // A last look before anything is written is asked for each time.
    const isWanted = await conversation.ask(
      buildYesOrNo({
        id: "write",
        asks: `Write ${file}`,
        usual: "yes",
        why: "Nothing was written until now; no leaves your answers for another time.",
      }),
    );
    if (!isWanted) {
      conversation.say("No settings were written. Your answers are kept; the same command goes on with them.");
      return 1;
    }
    return finish(conversation, file, content, result, kept);
  });
}

async function finish(
  { say }: Conversation,
  file: string,
  content: object,
  { faults, toMeasure, settings }: UnfinishedCheck,
  kept: KeptAnswers,
): Promise<number> {
  try {
    await put(file, content);
  } catch (error) {
    console.error(`${file} cannot be written: ${(error as Error).message}. Your answers are kept.`);
    return 1;
  }
  kept.forget();
  if (settings === null) {
    say(`${file} is written, but \`${typed("check")}\` does not accept it yet:`);
    for (const { path, expected } of faults) say(`- ${path}: expected ${expected}`);
    return 1;
  }
  say(nextSteps(file, settings, toMeasure.length));
  return 0;
}

/** Which file, and what is known before anything is asked. */
async function askWhere(conversation: Conversation, asked: string): Promise<Start> {
  const { ask, say } = conversation;
  let file = asked;
  for (;;) {
    const given = keptAnswersFor(file).read();
    const old = await readExisting(file);
    if (given.size > 0) {
      const question = buildYesOrNo({
        id: "go-on",
        asks: `${given.size} answers are kept from last time. Go on after them`,
        usual: "yes",
        why: "No begins anew; each kept answer is then offered, and taken by Enter.",
      });
      const goesOn = await ask(question);
      const { existing, offered } = old === null ? { existing: null, offered: new Map() } : startFrom(old, "change");
      return { file, existing, given: goesOn ? given : new Map(), offered: new Map([...offered, ...given]) };
    }
    if (old === null) return { file, existing: null, given, offered: given };
    if (old.settings === null) {
      say(
        `${file} is there already, and \`${typed(`check ${file}`)}\` does not accept it: mend it by hand, or write another.`,
      );
    } else {
      const way = await ask(changeQuestion(file, old.toMeasure.length));
      if (way !== "other") return { file, ...startFrom(old, way) };
    }
    file = await ask(buildText({ id: "file", asks: "Which other file" }, "the name of a file", (name) => name !== ""));
  }
}

type Way = "finish" | "change" | "other";

function changeQuestion(file: string, missing: number) {
  const options: readonly Way[] = missing > 0 ? ["finish", "change", "other"] : ["change", "other"];
  const asks =
    missing > 0
      ? `${file} is there, and ${missing === 1 ? "one measure is" : `${missing} measures are`} still missing`
      : `${file} is there already`;
  const why =
    "change: every question offers what the file says, and Enter keeps it. other: write another file. finish: only what " +
    "was left to be measured is asked. What no question asks about stays as it is, and nothing changes before you say so.";
  return buildChoice({ id: "way", asks, usual: options[0] as string, why }, options);
}

function startFrom(old: Old, way: "finish" | "change"): Omit<Start, "file"> {
  const offered = answersOfFile(old.raw);
  return { existing: { raw: old.raw }, offered, given: way === "finish" ? offered : new Map() };
}

interface Old extends UnfinishedCheck {
  readonly raw: SettingsFile;
}

/** Null = there is no such file. */
async function readExisting(file: string): Promise<Old | null> {
  if (!(await exists(file))) return null;
  try {
    const raw = JSON.parse(await readFile(file, "utf8")) as SettingsFile;
    return { raw, ...checkUnfinished(raw) };
  } catch {
    return { raw: {}, settings: null, toMeasure: [], faults: [] };
  }
}

/** Whole or not at all: a file that was there stays until its successor is on the disk. */
async function put(file: string, content: object): Promise<void> {
  const beside = `${file}.${process.pid}.new`;
  try {
    await writeFile(beside, `${JSON.stringify(content, null, 2)}\n`, { flag: "wx" });
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
}

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

async function listPluggedIn(): Promise<PluggedIn> {
  const [ports, thermometers] = await Promise.all([
    listPorts().catch(() => []),
    listThermometers("/sys/bus/w1/devices"),
  ]);
  return { ports: ports.map(({ lastingPath }) => lastingPath), thermometers };
}
