import {
  MARKS,
  type Mark,
  SESSIONS,
  type Session,
  type SessionStatus,
  STANDARD_WORDS,
  STANDARDS,
  stillWords,
} from "../../../shared/contract/index.ts";
import { allowWord, buildChoice, buildText, buildYesOrNo } from "../conversation/question.ts";
import type { SpokenKind } from "../values/keeper.ts";
import { conductivity as conductivityKind } from "../values/kinds.ts";
import { buildQuantity } from "../values/questions.ts";
import { soon } from "./soon.ts";
import { calibrationOf } from "./status.ts";
import type { Walk } from "./walk.ts";

/** What can be asked for by name. */
export const CALIBRATE_WORDS = [...SESSIONS, "marks"] as const;

/** One session from its beginning, or from where somebody left it, to what counts from now on. */
export async function walkSession(walk: Walk, session: Session): Promise<void> {
  const { visit, talk, by } = walk;
  const open = calibrationOf(visit).session;
  if (open !== null && open.session !== session) {
    talk.say(`A session of another kind is open (${open.session}). It is finished or given up first.`);
    return;
  }
  if (open === null) {
    if (!(await walk.hands.in())) return;
    const { accepted, why } = await visit.ask("calibrate", { step: "begin", session, by });
    talk.say(why);
    if (!accepted) return;
    await soon(() => calibrationOf(visit).session !== null);
  } else {
    talk.say("The session that was left is taken up again; what it has taken is kept.");
    sayTaken(walk);
  }
  if (session === "conductivity") while (!(await isSettled(walk, await conductivity(walk))));
  else if (!(await thermometers(walk, session))) await giveUp(walk);
  await walk.hands.out();
}

async function conductivity(walk: Walk): Promise<boolean> {
  const { talk } = walk;
  if (!sessionOf(walk).dry) {
    talk.say(
      "\nTake the cell out, clean it with a soft brush and as its maker says, rinse it in pure water, and let it hang " +
        "in air until it is dry.",
    );
    if (!(await repeated(walk, "Is the cell clean, dry and in air", { step: "dry" }))) return false;
  }
  if (sessionOf(walk).taken.length === 0) await takeStandard(walk);
  for (;;) {
    const taken = sessionOf(walk).taken.length;
    const asks = taken === 0 ? "Try a standard again" : "Take another standard, or this one again";
    if (!(await talk.ask(buildYesOrNo({ id: "another", asks, usual: taken === 0 ? "yes" : "no" })))) return taken > 0;
    await takeStandard(walk);
  }
}

async function takeStandard(walk: Walk): Promise<void> {
  const { talk } = walk;
  const standard = await askStandard(walk);
  const hangs = buildYesOrNo({
    id: "hangs",
    asks: "Does it hang in the standard",
    tells:
      "Rinse the cell with a little of the standard, throw that away, and hang it in fresh standard, free of bubbles.",
    usual: "yes",
  });
  if (!(await talk.ask(hangs)) || !(await untilSteady(walk))) return;
  const before = JSON.stringify(sessionOf(walk).taken);
  const { accepted, why } = await walk.visit.ask("calibrate", { step: "standard", ...standard });
  talk.say(accepted ? why : `Not taken. ${why}`);
  if (accepted) await soon(() => JSON.stringify(sessionOf(walk).taken) !== before);
}

const MS_PER_CM: SpokenKind<ReturnType<(typeof conductivityKind.units)["ms/cm"]>> = {
  kind: conductivityKind,
  bare: "mS/cm",
  format: (value) => `${value} mS/cm`,
};

async function askStandard({ talk, visit }: Walk): Promise<Record<string, string | number>> {
  const { temperature, plain } = talk.spoken;
  talk.say("\nWhich standard? Not a drop goes back into the bottle.");
  for (const standard of STANDARDS) talk.say(`- ${standard}: ${STANDARD_WORDS[standard]}`);
  const standard = await talk.ask(buildChoice({ id: "standard", asks: "Standard", usual: "sea-water-35" }, STANDARDS));
  const lot = await talk.ask(
    buildText(
      { id: "lot", asks: "Lot on the bottle, or -", usual: "-" },
      "1 to 40 letters, digits and signs",
      (answer) => /^[\p{L}\p{N}\p{P} ]{1,40}$/u.test(answer),
    ),
  );
  const body: Record<string, string | number> = { standard };
  if (lot !== "-") body.lot = lot;
  const celsius = (id: string, asks: string, usualC?: number) => {
    const usual = usualC === undefined ? {} : { usual: temperature.format(usualC) };
    return talk.ask(buildQuantity({ id, asks, ...usual }, temperature, { least: 0, most: 45 }));
  };
  if (standard === "label") {
    body.labelMsPerCm = await talk.ask(
      buildQuantity({ id: "labelMsPerCm", asks: "Conductivity on the label" }, MS_PER_CM, { least: 0.05, most: 90 }),
    );
    body.labelC = await celsius("labelC", "At which temperature", 25);
    body.labelPercentPerK = await talk.ask(
      buildQuantity({ id: "labelPercentPerK", asks: "Percent of change per kelvin on the label", usual: "2" }, plain, {
        least: 0,
        most: 5,
      }),
    );
  }
  if (calibrationOf(visit).session?.temperatureC === null) {
    body.temperatureC = await celsius("temperatureC", "Temperature of the standard");
  }
  return body;
}

async function thermometers(walk: Walk, session: Session): Promise<boolean> {
  const { talk } = walk;
  const both = session === "thermometers";
  const hang = buildYesOrNo({
    id: "hang",
    asks: both ? "Do both hang in the same water" : "Does it hang in the same water as the reference",
    tells:
      (both
        ? "Both thermometers in the same water, close together, stirred: their difference is removed. "
        : "The thermometer and your reference in the same water, close together, stirred, both covered. ") +
      "Best in the tank; in a cup only during a hold with the heater off, for the heat goes by what they say.",
    usual: "yes",
  });
  if (!(await talk.ask(hang))) return false;
  for (;;) {
    if (!(await untilSteady(walk))) return false;
    const body: Record<string, string | number> = { step: "reference" };
    if (!both) {
      const { temperature } = talk.spoken;
      body.referenceC = await talk.ask(
        buildQuantity({ id: "referenceC", asks: "What does the reference say" }, temperature, { least: 0, most: 45 }),
      );
    }
    // Only now does anything change: the controller has said so at the beginning.
    talk.say(differenceWords(sessionOf(walk), body.referenceC as number | undefined));
    if (!(await talk.ask(buildYesOrNo({ id: "accept", asks: "Shall this count from now on", usual: "yes" }))))
      return false;
    const { accepted, why } = await walk.visit.ask("calibrate", body);
    talk.say(accepted ? why : `Not taken. ${why}`);
    if (accepted) return true;
    if (!(await talk.ask(buildYesOrNo({ id: "again", asks: "Once more", usual: "yes" })))) return false;
  }
}

/** What would be changed, before it is. */
function differenceWords({ reads, temperatureC }: SessionStatus, referenceC: number | undefined): string {
  if (reads === null) return "There is no reading just now.";
  if (referenceC !== undefined) {
    return `It reads ${reads.toFixed(2)} °C beside ${referenceC.toFixed(2)} °C: ${(referenceC - reads).toFixed(2)} K would be added.`;
  }
  if (temperatureC === null) return "There is no second reading just now.";
  return `They read ${reads.toFixed(2)} °C and ${temperatureC.toFixed(2)} °C: ${Math.abs(reads - temperatureC).toFixed(2)} K between them would be removed.`;
}

/** Watches the reading anew until it stands still; false = the keeper does not want to wait. */
async function untilSteady({ visit, talk }: Walk): Promise<boolean> {
  // A probe stood still where it hung before, too.
  const { accepted, why } = await visit.ask("calibrate", { step: "watch" });
  if (!accepted) talk.say(why);
  await soon(() => calibrationOf(visit).session?.steady !== true);
  for (;;) {
    const seen = await talk.watch(() => {
      const { session } = calibrationOf(visit);
      if (session === null) return { shows: "the session is over", says: null, isDone: true };
      return { shows: readingWords(session), says: null, isDone: session.steady };
    });
    if (seen === "seen") return calibrationOf(visit).session !== null;
    const waits = buildYesOrNo({ id: "wait", asks: "It has to stand still first. Wait on", usual: "yes" });
    if (!(await talk.ask(waits))) return false;
  }
}

function readingWords({ session, reads, temperatureC, steady, watchedMs, neededMs }: SessionStatus): string {
  const isCell = session === "conductivity";
  const value = reads === null ? "no reading" : `${reads.toFixed(isCell ? 3 : 2)} ${isCell ? "mS/cm" : "°C"}`;
  const also = temperatureC === null ? "" : `${isCell ? " at" : " and"} ${temperatureC.toFixed(2)} °C`;
  return `${value}${also}, ${stillWords(watchedMs, neededMs, steady)}`;
}

/** Asks, sends, and asks again when it is refused; false = the keeper gives it up. */
async function repeated({ visit, talk }: Walk, asks: string, body: Record<string, unknown>): Promise<boolean> {
  for (;;) {
    if (!(await talk.ask(buildYesOrNo({ id: String(body.step), asks, usual: "yes" })))) return false;
    const { accepted, why } = await visit.ask("calibrate", body);
    talk.say(accepted ? why : `Not yet. ${why}`);
    if (accepted) return true;
  }
}

/** What was taken counts from now on, or is given up; false = it is to be done once more. */
async function isSettled(walk: Walk, isFound: boolean): Promise<boolean> {
  const { visit, talk } = walk;
  if (!isFound) {
    await giveUp(walk);
    return true;
  }
  sayTaken(walk);
  if (await talk.ask(buildYesOrNo({ id: "accept", asks: "Shall this count from now on", usual: "yes" }))) {
    const { accepted, why } = await visit.ask("calibrate", { step: "accept" });
    talk.say(accepted ? why : `Not yet. ${why}`);
    if (accepted) return true;
    await soon(() => !calibrationOf(visit).session?.dry);
    if (await talk.ask(buildYesOrNo({ id: "repeat", asks: "Do it once more", usual: "yes" }))) return false;
  }
  await giveUp(walk);
  return true;
}

function sayTaken(walk: Walk): void {
  for (const { standard, lot, readMsPerCm, expectedMsPerCm, temperatureC } of sessionOf(walk).taken) {
    walk.talk.say(
      `- ${STANDARD_WORDS[standard]}${lot === null ? "" : `, lot ${lot}`}, at ${temperatureC.toFixed(1)} °C: ` +
        `read ${readMsPerCm.toFixed(3)}, should be ${expectedMsPerCm.toFixed(3)} mS/cm`,
    );
  }
}

async function giveUp({ visit, talk }: Walk): Promise<void> {
  if (calibrationOf(visit).session === null) return talk.say("The session is over; nothing was changed by it.");
  talk.say((await visit.ask("calibrate", { step: "abandon" })).why);
}

const sessionOf = ({ visit }: Walk): SessionStatus => {
  const { session } = calibrationOf(visit);
  if (session === null) throw new SessionOver();
  return session;
};

/** It took too long, or somebody else ended it. */
export class SessionOver extends Error {
  override readonly name = "SessionOver";
}

const MARK_WORDS = {
  "high-float-mm": "High float above the working mark",
  "low-float-mm": "Low float above the working mark (below it: with a minus)",
  "float-hysteresis-mm": "Between the working float's low and full",
  "pump-off-level-mm": "Level with the return pump off, above the working mark",
} as const;

/** Marks measured with a ruler; each may be left as it is, and none changes before all are looked at together. */
export async function walkMarks(walk: Walk): Promise<void> {
  const { visit, talk, by } = walk;
  talk.say("\nMeasure with a ruler from the working mark, the level at which the working float reads full.");
  const measured: [mark: Mark, mm: number][] = [];
  for (const mark of MARKS) {
    const mm = await askMark(walk, mark);
    if (mm !== null) measured.push([mark, mm]);
  }
  if (measured.length === 0) return talk.say("Everything stays as it is.");
  const { length } = talk.spoken;
  for (const [mark, mm] of measured) {
    const { value } = calibrationOf(visit).inForce[mark];
    talk.say(`- ${MARK_WORDS[mark]}: ${length.format(mm)}, before ${length.format(value)}`);
  }
  if (!(await talk.ask(buildYesOrNo({ id: "accept", asks: "Shall this count from now on", usual: "yes" })))) {
    return talk.say("Nothing was changed.");
  }
  for (const [mark, mm] of measured) {
    const { accepted, why } = await visit.ask("calibrate", { step: "mark", mark, mm, by });
    talk.say(accepted ? why : `Refused. ${why}`);
  }
}

function askMark({ visit, talk }: Walk, mark: Mark): Promise<number | null> {
  const { length } = talk.spoken;
  const { value } = calibrationOf(visit).inForce[mark];
  const asks = `${MARK_WORDS[mark]}; now ${length.format(value)}`;
  const question = buildQuantity({ id: mark, asks }, length, { least: -300, most: 300 });
  return talk.ask({ ...allowWord(question, "leave-it"), usual: "leave-it" });
}
