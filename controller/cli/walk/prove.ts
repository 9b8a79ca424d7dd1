import {
  PROOF_PARTS,
  PROOF_WORDS,
  PROVING_RUNS,
  type ProofPart,
  type ProvingRun,
  type ProvingStatus,
  RUN_LEAST_S,
  RUN_MOST_S,
  USUAL_RUN_S,
  WALK,
} from "../../../shared/contract/index.ts";
import type { Visit } from "../at-tank/visit.ts";
import { allowWord, buildChoice, buildYesOrNo } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { walkSession } from "./calibrate.ts";
import { judge } from "./judge.ts";
import { lookAtLocks } from "./locked.ts";
import { seenWords } from "./seen.ts";
import { soon } from "./soon.ts";
import { calibrationOf, createCountdown, provingOf } from "./status.ts";
import type { Talk } from "./talk.ts";
import type { Walk } from "./walk.ts";

/** Parts that want to be proven, in the order of the walk. */
export const wantedParts = ({ parts }: ProvingStatus): readonly ProofPart[] =>
  PROOF_PARTS.filter((part) => !["not-fitted", "proven"].includes(parts[part].standing));

/** One part after another; each may be left for later. */
export async function walkParts(walk: Walk, parts: readonly ProofPart[]): Promise<void> {
  for (const [index, part] of parts.entries()) {
    const { visit, talk } = walk;
    const { standing } = provingOf(visit).parts[part];
    const place = parts.length === 1 ? "" : `${index + 1} of ${parts.length}: `;
    talk.say(`\n${place}${PROOF_WORDS[part]} (${standing === "never" ? "never proven" : standing})`);
    if (WALK[part].caution !== null) talk.say(`Caution. ${WALK[part].caution}`);
    talk.say(WALK[part].watches);
    if (WALK[part].inHold) {
      if (!(await walk.hands.in())) continue;
    } else await walk.hands.out();
    if (isRun(part)) await proveByRun(walk, part);
    else await proveBySight(walk, part);
    if (isProvenNow(visit, part)) await afterwards(walk, part);
  }
  await walk.hands.out();
}

/** What is put back, and what is measured while everything is at hand. */
async function afterwards(walk: Walk, part: ProofPart): Promise<void> {
  const { after } = WALK[part];
  if (after !== null) walk.talk.say(after);
  const { parts } = provingOf(walk.visit);
  if (part !== "thermometer-2" || parts["thermometer-1"].standing !== "proven") return;
  const together = buildYesOrNo({
    id: "offset",
    asks: "Remove the difference between the two thermometers now",
    tells: "Two thermometers that agree tell a failed one; both must hang in the same water.",
    usual: "yes",
  });
  if (await walk.talk.ask(together)) await walkSession(walk, "thermometers");
}

const isRun = (part: ProofPart): part is ProvingRun => (PROVING_RUNS as readonly ProofPart[]).includes(part);

/** Floats and the floor sensor: the scan sees both positions. The protective device: a person sees it. */
async function proveBySight(walk: Walk, part: ProofPart): Promise<void> {
  const { visit, talk } = walk;
  if (!provingOf(visit).parts[part].ready) {
    const seen = await talk.watch(() => {
      const status = provingOf(visit);
      const { ready, next } = status.parts[part];
      return { shows: seenWords(part, visit, status), says: next, isDone: ready };
    });
    if (seen === "passed") {
      talk.say(`The ${PROOF_WORDS[part]} is left for later.`);
      return;
    }
  }
  await sayProven(walk, part);
}

async function proveByRun(walk: Walk, part: ProvingRun): Promise<void> {
  for (;;) {
    // A floor sensor that was wetted has locked top-off, as it should.
    await lookAtLocks(walk.visit, walk.talk, false);
    if (PUMP_RUNS.includes(part)) await untilAtRest(walk);
    const seconds = await askSeconds(walk.talk, part);
    if (seconds === null) return walk.talk.say(`The ${PROOF_WORDS[part]} is left for later.`);
    if (!(await runAndWatch(walk, part, seconds))) continue;
    if (await sayProven(walk, part)) return;
  }
}

const PUMP_RUNS: readonly ProvingRun[] = ["water-guard", "top-off-pump", "siphon"];
const BUSY: Readonly<Record<string, string>> = {
  confirming: "looks at the level",
  pouring: "pours",
  settling: "lets the water settle",
  proving: "ends its run",
};

/** The pump runs for one thing at a time. */
async function untilAtRest({ visit, talk }: Walk): Promise<void> {
  const doing = () => BUSY[visit.text("top-off/state")];
  if (doing() === undefined) return;
  await talk.watch(() => ({
    shows: `waiting: top-off ${doing() ?? "rests"}`,
    says: null,
    isDone: doing() === undefined,
  }));
}

async function askSeconds(talk: Talk, part: ProvingRun): Promise<number | null> {
  const [least, most] = [RUN_LEAST_S[part], RUN_MOST_S[part]];
  const words = { id: `run ${part}`, asks: "Ready? For how long" };
  const question = allowWord(buildQuantity(words, talk.spoken.seconds, { least, most }), "skip");
  return talk.ask({ ...question, usual: `${USUAL_RUN_S[part]} s` });
}

/** True = the run went to its end and can be judged. */
async function runAndWatch({ visit, talk }: Walk, part: ProvingRun, seconds: number): Promise<boolean> {
  const before = JSON.stringify(provingOf(visit).lastRun);
  const { accepted, why } = await visit.ask("prove", { part, seconds });
  talk.say(accepted ? `${why} Enter stops it.` : `Not now. ${why}`);
  if (!accepted) return false;
  const leftS = createCountdown(visit.greeting.speed, () => performance.now());
  let ran = false;
  try {
    const seen = await talk.watch(() => {
      const status = provingOf(visit);
      const { run, lastRun } = status;
      ran ||= run?.part === part;
      const left = run === null ? "" : `${PHASE_WORDS[run.phase]}, ${leftS(run)} s left: `;
      const isDone = run === null && (ran || JSON.stringify(lastRun) !== before);
      return { shows: `${left}${seenWords(part, visit, status)}`, says: null, isDone };
    });
    if (seen === "passed") await visit.ask("end-run", {});
  } catch (left) {
    // Whoever leaves in the middle leaves nothing running behind.
    if (!visit.isGone()) await visit.ask("end-run", {});
    throw left;
  }
  const { lastRun } = provingOf(visit);
  if (lastRun?.part === part && lastRun.ending === "done") {
    talk.say(lastRun.why);
    return true;
  }
  talk.say(lastRun?.why ?? "It was stopped. Nothing is proven by it and nothing is lost.");
  return false;
}

const PHASE_WORDS = { "waiting-for-disk": "waiting for the disk", running: "running", watching: "watching" } as const;

/** True = there is nothing more to do for this part now. */
async function sayProven(walk: Walk, part: ProofPart): Promise<boolean> {
  const { visit, talk, by } = walk;
  const now = part === "pump-off-level" ? calibrationOf(visit).inForce["pump-off-level-mm"].value : null;
  const judgement = await judge(part, talk, now);
  if (judgement === null) return true;
  const { accepted, why } = await visit.ask("proven", { part, by, ...judgement });
  talk.say(accepted || why.startsWith("Not proven") ? why : `Not proven. ${why}`);
  // The word of it and the state that it made come one after the other.
  if (accepted) await soon(() => isProvenNow(visit, part) || !provingOf(visit).parts[part].ready);
  if (isProvenNow(visit, part)) return true;
  const again = await talk.ask(buildChoice({ id: `again ${part}`, asks: "Once more", usual: "yes" }, ["yes", "skip"]));
  return again === "skip";
}

const JUST_NOW_MS = 60_000;
const isProvenNow = (visit: Visit, part: ProofPart): boolean => {
  const { standing, ageMs } = provingOf(visit).parts[part];
  return standing === "proven" && ageMs !== null && ageMs < JUST_NOW_MS;
};
