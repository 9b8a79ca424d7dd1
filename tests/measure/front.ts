import { randomUUID } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Visit, visitController } from "../../controller/cli/at-tank/visit.ts";
import { openDurableMemory } from "../../controller/record/index.ts";
import { GRANTED_ALLOWANCE } from "../../controller/run/inbox.ts";
import { floodBroker, floodRequests, frontOf, hogProcessor, readHistoryAtOnce } from "../system/rig/attacks.ts";
import { type DrivenBox, prepareDrivenBox } from "../system/rig/driven-box.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { pause, until } from "../system/rig/until.ts";
import { type Spread, spreadOf } from "./spread.ts";

/** How the scan fares while the front is well, and while it is attacked, hung, killed and starved. */
export interface Spell {
  readonly seconds: number;
  readonly scans: number;
  readonly missed: number;
  readonly latenessP99Ms: number;
  readonly latenessWorstMs: number;
  /** From the edge at the float's pin until the pump's load is broken, milliseconds. */
  readonly edgeToOpen: Spread;
  /** Of requests asked at the control socket. */
  readonly asked: number;
  readonly granted: number;
  /** From each end of the front until page and broker answer again, milliseconds. */
  readonly backMs: readonly number[];
  readonly attacks: number;
}

export interface Kills {
  readonly kills: number;
  readonly confirmed: number;
  /** Confirmed, and unknown after the kill. */
  readonly lost: readonly string[];
  readonly backMs: readonly number[];
}

export interface Footprint {
  readonly toFirstScanMs: number;
  readonly afterS: number;
  readonly scanMb: number;
  readonly frontMb: number;
}

/** On an emulated board, with a float that rises and falls. */
export async function measureSpell(seconds: number, attacked: boolean): Promise<Spell> {
  const box = await prepareDrivenBox();
  const program = await startProgram("driven", ...box.words.slice(1, -4));
  const visit = await visitController({ data: box.folder, tank: null });
  try {
    await box.untilDriven();
    const endMs = performance.now() + seconds * 1000;
    const isOver = () => performance.now() > endMs;
    const [before, beganMs] = [countsOf(visit), performance.now()];
    const spell = { asked: 0, granted: 0, opened: [] as number[], backMs: [] as number[], attacks: 0 };
    await Promise.all([
      flipFloat(box, spell.opened, isOver),
      askAtTank(visit, spell, isOver),
      attacked ? attack(program, spell, isOver) : undefined,
    ]);
    const after = countsOf(visit);
    return {
      seconds: (performance.now() - beganMs) / 1000,
      scans: after.count - before.count,
      missed: after.missed - before.missed,
      latenessP99Ms: after.p99Ms,
      latenessWorstMs: after.worstMs,
      edgeToOpen: spreadOf(spell.opened),
      asked: spell.asked,
      granted: spell.granted,
      backMs: spell.backMs,
      attacks: spell.attacks,
    };
  } finally {
    visit.close();
    await program.end("SIGKILL");
    await box.close();
  }
}

const countsOf = (visit: Visit) => ({
  count: Number(visit.text("scan/count")),
  missed: Number(visit.text("scan/missed")),
  p99Ms: Number(visit.text("scan/lateness-p99-ms")),
  worstMs: Number(visit.text("scan/lateness-worst-ms")),
});

async function flipFloat({ board, pins, floatPin }: DrivenBox, opened: number[], isOver: () => boolean): Promise<void> {
  while (!isOver()) {
    await board.contact(floatPin, "closed");
    await board.until(pins.pump, "high");
    await pause(30 + ((opened.length * 97) % 250));
    const edgeMs = Number(await board.contact(floatPin, "open")) / 1e6;
    await board.until(pins.pump, "low");
    await board.until(pins.waterGuard, "low");
    const since = (pin: number) => Number(board.edges(pin).at(-1)?.atNs) / 1e6 - edgeMs;
    opened.push(Math.min(since(pins.pump), since(pins.waterGuard)));
  }
}

async function askAtTank(
  visit: Visit,
  spell: { asked: number; granted: number },
  isOver: () => boolean,
): Promise<void> {
  while (!isOver()) {
    const { accepted } = await visit.ask("acknowledge", { alarm: "all" });
    spell.asked += 1;
    if (accepted) spell.granted += 1;
    await pause(1_000);
  }
}

/** One attack after the other, over and over; a front that is ended is waited for. */
async function attack(
  program: Program,
  spell: { backMs: number[]; attacks: number },
  isOver: () => boolean,
): Promise<void> {
  const front = () => frontOf(program.pid);
  const isAnswered = () => isReachable(program.address);
  const ended = async (signal: "SIGKILL" | "SIGSTOP") => {
    const pid = front();
    if (pid === null) return;
    process.kill(pid, signal);
    await until("it is ended", () => front() !== pid, 30_000);
    const endedMs = performance.now();
    while (!(await isAnswered())) await pause(20);
    spell.backMs.push(performance.now() - endedMs);
  };
  const attacks: readonly (() => Promise<unknown>)[] = [
    () => floodBroker(program.mqttPort),
    () => floodFor(program, 5_000),
    () => readHistoryAtOnce(program.address, 100),
    () => ended("SIGKILL"),
    () => starve(5_000),
    () => ended("SIGSTOP"),
  ];
  for (let turn = 0; !isOver(); turn += 1) {
    await (attacks[turn % attacks.length] as () => Promise<unknown>)();
    spell.attacks += 1;
    await pause(500);
  }
}

function floodFor(program: Program, forMs: number): Promise<number> {
  const endMs = performance.now() + forMs;
  return floodRequests(program.mqttPort, "driven", 300, () => performance.now() > endMs);
}

/** More processes that want all of the processor than it has cores. */
async function starve(forMs: number): Promise<void> {
  const stop = hogProcessor(4);
  await pause(forMs);
  stop();
}

const isReachable = (address: string): Promise<boolean> =>
  fetch(`${address}api/v1/health`, { signal: AbortSignal.timeout(1_000) }).then(
    () => true,
    () => false,
  );

/** Kills scan or front at moments that the seed chooses, and looks for everything that had been confirmed. */
export async function measureKills(kills: number, seed: number): Promise<Kills> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-kills-"));
  const chance = randomFrom(seed);
  const result = { kills, confirmed: 0, lost: [] as string[], backMs: [] as number[] };
  const start = () => startProgram("reef-box", "--data", folder);
  let program = await start();
  try {
    for (let kill = 0; kill < kills; kill += 1) {
      const visit = await visitController({ data: folder, tank: null });
      const confirmed = await askUntil(visit, program, chance() * 1_500);
      visit.close();
      result.confirmed += confirmed.length;
      if (chance() < 0.5) await program.end("SIGKILL");
      else await killFront(program, result.backMs);
      if (hasEnded(program)) {
        const known = await answeredIn(join(folder, "rehearsal"));
        result.lost.push(...confirmed.filter((id) => !known.has(id)));
        program = await start();
      }
    }
    return result;
  } finally {
    await program.end("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Asks over the network and at the tank by turns, until the moment has come; the ids that were confirmed as stored. */
async function askUntil(visit: Visit, program: Program, forMs: number): Promise<string[]> {
  const confirmed: string[] = [];
  const endMs = performance.now() + forMs;
  while (performance.now() < endMs) {
    const atTank = await visit.ask("refill", { litres: 0.1 });
    if (atTank.accepted) confirmed.push(atTank.id);
    const { id, accepted, stored } = await program.ask("refill", { litres: 0.1 }).catch(() => NOT_ANSWERED);
    if (accepted && stored) confirmed.push(id);
  }
  return confirmed;
}

const NOT_ANSWERED = { id: "", accepted: false, stored: false };

async function killFront(program: Program, backMs: number[]): Promise<void> {
  const pid = frontOf(program.pid);
  if (pid === null) return;
  process.kill(pid, "SIGKILL");
  const killedMs = performance.now();
  await until("it is gone", () => frontOf(program.pid) !== pid);
  while (!(await isReachable(program.address))) await pause(20);
  backMs.push(performance.now() - killedMs);
}

function hasEnded({ pid }: Program): boolean {
  try {
    return readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1]?.startsWith("Z") === true;
  } catch {
    return true;
  }
}

/** Of the memory as the next start would find it. */
async function answeredIn(folder: string): Promise<ReadonlySet<string>> {
  const memory = await openDurableMemory(folder);
  const found = memory.read().memory as { readonly answered: readonly { readonly id: string }[] } | null;
  await memory.close();
  return new Set(found?.answered.map(({ id }) => id) ?? []);
}

/** A generator of Park and Miller (1988): a seed gives the same moments again. */
function randomFrom(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

/** Of both processes, on the rehearsal tank at the pace of the clock. */
export async function measureFootprint(afterS: number): Promise<Footprint> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-measure-"));
  const beganMs = performance.now();
  const program = await startProgram("reef-box", "--data", folder);
  try {
    const toFirstScanMs = (program.said(/Starting: watching the inputs/) ?? Number.NaN) - beganMs;
    await pause(afterS * 1000);
    const [scanMb, frontMb] = [residentMb(program.pid), residentMb(frontOf(program.pid) as number)];
    return { toFirstScanMs, afterS, scanMb, frontMb };
  } finally {
    await program.end("SIGINT");
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What both processes write while somebody asks four times a second, once what may be asked at once is used up. */
export async function measureFlood(seconds: number): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-flood-"));
  const program = await startProgram("reef-box", "--data", folder);
  const pids = [program.pid, frontOf(program.pid) as number];
  const ask = async (forS: number) => {
    for (let turn = 0; turn < forS * 4; turn += 1) {
      const body = JSON.stringify({ id: randomUUID(), litres: 0.1 });
      await program.publish("homie/5/reef-box/request/refill/set", body, false);
      await pause(250);
    }
  };
  try {
    await ask(GRANTED_ALLOWANCE.burst / 2);
    const beforeMb = writtenMb(pids);
    await ask(seconds);
    return ((writtenMb(pids) - beforeMb) / seconds) * 86_400;
  } finally {
    await program.end("SIGINT");
    rmSync(folder, { recursive: true, force: true });
  }
}

const writtenMb = (pids: readonly number[]): number =>
  pids.reduce(
    (sum, pid) => sum + Number(readFileSync(`/proc/${pid}/io`, "utf8").match(/^write_bytes: (\d+)/m)?.[1]),
    0,
  ) / 1e6;

const residentMb = (pid: number): number =>
  Number(readFileSync(`/proc/${pid}/status`, "utf8").match(/VmRSS:\s+(\d+)/)?.[1]) * 1.024e-3;
