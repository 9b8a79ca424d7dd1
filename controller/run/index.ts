import { randomUUID } from "node:crypto";
import { type Beside, type Field, type Request, type ScanRecord, topicOf } from "../../shared/contract/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { ALARM_WORDS } from "../alarms/index.ts";
import { type ControlSocket, createControlSocket } from "../cli/at-tank/control-socket.ts";
import type { RunOptions } from "../cli/program.ts";
import { openTerminal, type Terminal } from "../cli/terminal.ts";
import { typed } from "../cli/typed.ts";
import type { Report } from "../front/messages.ts";
import { type Front, openFront, type Place } from "../front/supervisor.ts";
import { askedBy, FRESH_BUTTON, followButton } from "../inputs/index.ts";
import { openServiceWatchdog, type ServiceWatchdog } from "../outputs/service-watchdog.ts";
import { treeOf } from "../publish/homie.ts";
import type { PublishedOutcome } from "../publish/index.ts";
import { createNotebook, type FolderLock, lockFolder } from "../record/index.ts";
import { type Cycle, startCycle } from "../scan/cycle.ts";
import { toStore } from "../scan/memory.ts";
import { loadSettings } from "../settings/load.ts";
import { type Answers, createAnswers } from "./answers.ts";
import { type Boundary, createBoundary } from "./boundary.ts";
import { createInbox, type Inbox } from "./inbox.ts";
import { installLastAct } from "./last-act.ts";
import { createNarrator, type Narrator } from "./narrator.ts";
import { keepNotes, type NotesKeeper } from "./notes-keeper.ts";
import { openTank } from "./open-tank.ts";
import { openOutput } from "./output.ts";
import { createReporter } from "./reporter.ts";
import { folderOf, type Tank } from "./tank.ts";

/** `evenbrine run`: the scan's process. It opens everything, then lets the scan go on until somebody ends it. */
export async function run(options: RunOptions): Promise<void> {
  const output = openOutput();
  const settings = options.settingsFile === null ? rehearsalSettings() : await loadSettings(options.settingsFile);
  const lock = lockFolder(folderOf(settings, options.data));
  const box = await openBox(settings, options, output.say);
  installLastAct({
    say: output.say,
    onSuspend: box.terminal.release,
    act: async (fault) => {
      await closeBox(box, lock, fault);
      await output.drained();
    },
  });
  if (lock.trouble !== null) output.say(`The folder could not be locked against a second controller: ${lock.trouble}`);
}

/** Everything that runs. */
interface Box {
  readonly tank: Tank;
  readonly cycle: Cycle;
  readonly front: Front;
  readonly control: ControlSocket;
  readonly terminal: Terminal;
  readonly notes: NotesKeeper;
  readonly watchdog: ServiceWatchdog;
  readonly boundary: Boundary;
  readonly say: (line: string) => void;
}

async function openBox(settings: Settings, options: RunOptions, say: (line: string) => void): Promise<Box> {
  const folder = folderOf(settings, options.data);
  const nowMs = () => performance.now();
  const tank = await openTank(settings, options);
  const boundary = createBoundary(nowMs, say);
  const inbox = createInbox(nowMs);
  const notebook = createNotebook();
  const notes = await keepNotes(folder, notebook);
  const control = createControlSocket({
    folder,
    offer: inbox.offerAtTank,
    attempt: (act) => boundary.attempt("the control socket", act),
  });
  const answers = createAnswers(tank.memory, (given) => deliver(given, front, control, say));
  const front: Front = openFront({
    opening: { settings, water: tank.kind, speed: options.speed, folder, alarms: ALARM_WORDS },
    ports: { web: options.port, mqtt: options.mqttPort },
    notebook,
    onRequest: (kind, payload) =>
      boundary.attempt("the intake", () => {
        const refused = inbox.offerFromNetwork(kind, payload);
        if (refused !== null) answers.refuse(refused);
      }),
    onListening: (place, again) => say(placeWords(place, again)),
    say,
  });
  const narrator = createNarrator(settings, tank.kind === "rehearsal", say);
  const watchdog = openServiceWatchdog();
  const cycle = watch({ settings, tank, boundary, inbox, answers, notebook, front, control, narrator, watchdog });
  const terminal = openTerminal(process.stdin, say, (request) =>
    boundary.attempt("the terminal", () => {
      const refused = inbox.offerAtTank(request);
      if (refused !== null) say(refused.why);
    }),
  );
  const { id, name } = settings.tank;
  const trouble = await control.open({
    version: 1,
    tank: id,
    name,
    water: tank.kind,
    speed: options.speed,
    units: settings.units,
  });
  for (const line of nextWords(tank.kind, options.data)) say(line);
  if (trouble !== null) say(`Commands such as \`${typed("prove")}\` cannot reach this controller: ${trouble}`);
  return { tank, cycle, front, control, terminal, notes, watchdog, boundary, say };
}

/** The answers reach everybody who may have asked: by id it is known whose each is. */
function deliver(
  answers: readonly PublishedOutcome[],
  front: Front,
  control: ControlSocket,
  say: (line: string) => void,
): void {
  control.answer(answers);
  front.answer(answers);
  for (const { why } of answers) say(why);
}

interface Watching {
  readonly settings: Settings;
  readonly tank: Tank;
  readonly boundary: Boundary;
  readonly inbox: Inbox;
  readonly answers: Answers;
  readonly notebook: ReturnType<typeof createNotebook>;
  readonly front: Front;
  readonly control: ControlSocket;
  readonly narrator: Narrator;
  readonly watchdog: ServiceWatchdog;
}

/** Starts the scan, with everybody who looks at its records behind the boundary. */
function watch(parts: Watching): Cycle {
  const { settings, tank, boundary, inbox, answers, notebook, front, control, narrator, watchdog } = parts;
  const reportOn = createReporter({ settings, tank, cycle: () => cycle, narrator });
  const button = tankButton(tank.field, inbox.offerAtTank);
  let last: ScanRecord | null = null;
  const report = (record: ScanRecord) => {
    const made = reportOn(record);
    front.report(made);
    control.show(() => placesOf(made, settings.tank.id));
  };
  const cycle: Cycle = startCycle({
    ...tank.cycle,
    settings,
    field: tank.field,
    durable: tank.memory,
    takeRequests: inbox.take,
    beside: () => besideOf(front, boundary),
    onRecord(record, isLast) {
      last = record;
      boundary.attempt("the answers", () => {
        inbox.decided(record.outcomes);
        answers.see(record);
      });
      boundary.attempt("the button", () => button(record));
      boundary.attempt("the history", () => notebook.note(record, tank.wallMs()));
      if (!isLast) return;
      boundary.attempt("the sign of life", () => watchdog.healthyScan(performance.now()));
      boundary.attempt("the sentence", () => narrator.see(record));
      boundary.attempt("the report", () => report(record));
    },
    onStopped(why) {
      boundary.attempt("the sentence", () => narrator.stopped(why));
      boundary.attempt("the report", () => last !== null && report(last));
    },
  });
  return cycle;
}

/** What stands on every topic, by its place below the tank, such as `top-off/state`. */
function placesOf({ record, context }: Report, tank: string): ReadonlyMap<string, string> {
  const below = topicOf(tank, "", "").length - 1;
  const tree = treeOf(record, { ...context, tank, alarms: ALARM_WORDS });
  return new Map([...tree].map(([topic, text]) => [topic.slice(below), text]));
}

const besideOf = (front: Front, boundary: Boundary): Beside => ({
  front: front.state(),
  history: front.historyFailed() ? "failed" : "working",
  fault: boundary.fault(),
});

function placeWords({ web, mqtt }: Place, again: boolean): string {
  const where = `http://127.0.0.1:${web}/ (MQTT on 127.0.0.1:${mqtt})`;
  return again ? `The page and the messages are back at ${where}.` : `Evenbrine at ${where}; Ctrl-C ends it.`;
}

/** Where a keeper goes from here. */
const nextWords = (kind: Tank["kind"], data: string): readonly string[] =>
  kind === "rehearsal"
    ? [`When you have parts of your own: ${typed("init settings.json")} asks about your box and says what comes next.`]
    : [
        `At the tank, in a second terminal: ${typed("prove", { data })} leads along ` +
          "the parts; what was never seen to work stays off.",
      ];

/** Looks at the button after every scan; what a press asks for waits for the next one, as everything that is asked. */
function tankButton({ button }: Field, offer: (request: Request) => unknown): (seen: ScanRecord) => void {
  let memory = FRESH_BUTTON;
  return (seen) => {
    const reading = button?.(performance.now()) ?? null;
    if (reading === null) return;
    const followed = followButton(memory, reading, seen.elapsedMs);
    memory = followed.memory;
    if (followed.press === null) return;
    for (const request of askedBy(followed.press, seen, randomUUID)) offer(request);
  };
}

/** The last act. Outputs are told to go off before anything is waited for, and nothing waits for what serves people. */
async function closeBox(box: Box, lock: FolderLock, fault: string | null): Promise<void> {
  const { tank, cycle, front, control, terminal, notes, watchdog, boundary, say } = box;
  boundary.attempt("the scan", () => cycle.stop());
  const off = tank.field.close();
  const memory = toStore(cycle.memory());
  const sequence = memory.sequence + 1;
  tank.memory.write({ ...memory, sequence, stoppedBy: fault ?? memory.stoppedBy }, sequence);
  const synced = tank.memory.close();
  boundary.attempt("the sign of life", () => watchdog.ending());
  boundary.attempt("the terminal", () => terminal.close());
  await Promise.allSettled([off, synced, front.close(), control.close()]);
  await notes.close();
  lock.release();
  const isSynced = tank.memory.durableSequence() >= sequence;
  say(`Ended: every output is off${isSynced ? " and the memory is on disk." : ". The disk did not take the memory."}`);
}
