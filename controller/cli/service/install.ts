import { chownSync, lstatSync, mkdirSync, readdirSync, renameSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { typed, USUAL_DATA } from "../typed.ts";
import type { Machine } from "./machine.ts";
import {
  expectAdministrator,
  expectSystemd,
  forShell,
  readInstalled,
  UNIT_FILE,
  UNIT_NAME,
  unitPath,
} from "./place.ts";
import { expectLasting, type ServicePlan } from "./plan.ts";
import { ServiceRefused } from "./refused.ts";
import { makeUnit } from "./unit.ts";

/**
 * Writes the unit, has it started with the computer, and starts it. Says what was done, line by line, and what comes
 * next. Everything that could refuse is looked at before anything is changed; asked twice, the second changes nothing.
 */
export function installService(plan: ServicePlan, machine: Machine): readonly string[] {
  expectSystemd(
    machine,
    "Whatever else starts programs here must run the command of ExecStart, which --print shows, as that user, again " +
      "after every end, and end it with TERM.",
  );
  expectLasting(plan);
  const installed = readInstalled(machine);
  const text = makeUnit(plan);
  if (installed !== null) expectSameTank(plan, installed.keeps);
  expectAdministrator(
    machine,
    `All is ready, but only the administrator may write ${UNIT_FILE}. Nothing was changed. Type this:`,
    [plan.node, join(plan.program, "controller/cli/launch.mjs"), ...wordsAgain(plan)],
  );
  expectReadable(plan, machine);
  const done = [ownData(plan, machine), ...writeUnit(plan, machine, installed?.text ?? null, text)].filter(
    (line) => line !== null,
  );
  const isNew = installed?.text !== text;
  orStop(machine, done, "daemon-reload");
  orStop(machine, done, "enable", "--quiet", UNIT_NAME);
  orStop(machine, done, isNew ? "restart" : "start", UNIT_NAME);
  done.push(isNew ? "Started it." : "It was installed already, and runs: nothing was changed.");
  return [...done, "", ...nextLines(plan)];
}

const wordsAgain = ({ settingsFile, data, user }: ServicePlan): readonly string[] => [
  ...["service", "--install", settingsFile],
  ...["--data", data],
  ...["--user", user],
];

/** One unit keeps one tank: another file or folder in its place would leave the first tank alone. */
function expectSameTank(plan: ServicePlan, keeps: Pick<ServicePlan, "settingsFile" | "data">): void {
  if (keeps.settingsFile === plan.settingsFile && keeps.data === plan.data) return;
  throw new ServiceRefused(
    `The service keeps another tank already: settings ${keeps.settingsFile}, memory in ${keeps.data}. Nothing was ` +
      `changed. To replace it, first: ${typed("service --remove")}`,
  );
}

/** Whether that user can read program and settings is asked of the program itself, run as that user. */
function expectReadable({ runsAs, node, program, settingsFile }: ServicePlan, machine: Machine): void {
  const launcher = join(program, "controller/cli/launch.mjs");
  const { isWell, said } = machine.runAs(runsAs, node, [launcher, "check", settingsFile]);
  if (isWell) return;
  throw new ServiceRefused(
    `As user ${runsAs.name} the program cannot use ${settingsFile}: ${plainLine(said)} Nothing was changed. ` +
      `That user must be able to read the file and everything in ${program}, and to enter every folder above them.`,
  );
}

/** Of a refusal the line that names the reason; of an error of the runtime, which could not open the program, a sentence. */
function plainLine(said: string): string {
  if (/Cannot find (module|package)|ERR_MODULE/.test(said)) return "the program itself cannot be opened.";
  const lines = said.split("\n").map((line) => line.trim());
  return (lines.find((line) => /EACCES|denied/i.test(line)) ?? lines.join(" ")).replace(/[^.]$/, "$&.");
}

/** The data folder is that user's own. Made where there is none; never taken from somebody else. */
function ownData({ data, runsAs }: ServicePlan, { root }: Machine): string | null {
  const path = join(root, data);
  const made = mkdirSync(path, { recursive: true, mode: 0o700 });
  if (made !== undefined) {
    for (let each = path; each.length >= made.length; each = join(each, "..")) chownSync(each, runsAs.uid, runsAs.gid);
    return `Made ${data}, for ${runsAs.name} alone: memory and history are kept there.`;
  }
  const foreign = [path, ...readdirSync(path, { recursive: true, encoding: "utf8" }).map((name) => join(path, name))]
    .filter((each) => lstatSync(each).uid !== runsAs.uid)
    .map((each) => `/${relative(root, each)}`);
  if (foreign.length === 0) return null;
  throw new ServiceRefused(
    `${foreign[0]} does not belong to ${runsAs.name}, who could not go on with the memory in it. Nothing was changed. ` +
      `End the controller that runs on it, then: sudo chown -R ${runsAs.name} ${forShell(data)}`,
  );
}

function writeUnit(plan: ServicePlan, machine: Machine, before: string | null, text: string): readonly string[] {
  if (before === text) return [];
  const path = unitPath(machine);
  writeFileSync(`${path}.new`, text, { mode: 0o644 });
  renameSync(`${path}.new`, path);
  return [
    `${before === null ? "Wrote" : "Replaced"} ${UNIT_FILE}:`,
    `  the controller starts with this computer, and again 5 s after every fall;`,
    `  it runs as user ${plan.user}, on the settings in ${plan.settingsFile};`,
    `  memory and history: ${plan.data}, and it can write nowhere else.`,
  ];
}

function orStop(machine: Machine, done: readonly string[], ...words: readonly string[]): void {
  const { isWell, said } = machine.systemctl(...words);
  if (isWell) return;
  throw new ServiceRefused(
    [
      ...done,
      `But \`systemctl ${words.join(" ")}\` failed: ${said === "" ? "it did not say why" : said}`,
      "What stands above was done and stays. Why it does not run: journalctl -u evenbrine -n 30. When that is mended, " +
        `ask again; to be rid of it: ${typed("service --remove")}`,
    ].join("\n"),
  );
}

function nextLines({ data, user }: ServicePlan): readonly string[] {
  const where = data === join(process.cwd(), USUAL_DATA) ? {} : { data: forShell(data) };
  return [
    "What comes next:",
    `- How the box is doing: ${typed("status", where)}. You stand at the tank as user ${user}, and only so; as another ` +
      `put sudo -u ${user} before it.`,
    "- Inputs must be good for a minute before anything is energised, and top-off waits ten.",
    "- What it says: journalctl -u evenbrine -f",
    "- End it, outputs off first: sudo systemctl stop evenbrine. It starts again with the computer; --remove ends that.",
    "- After a change of the settings: check them, then sudo systemctl restart evenbrine",
  ];
}
