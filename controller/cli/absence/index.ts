import { Command } from "commander";
import { type Due, describeOutlook, forecastAbsence, inDays } from "../../../shared/contract/index.ts";
import { refuseSpan } from "../../decisions/absence/memory.ts";
import { askAndSay, atTank } from "../at-tank/commands.ts";
import type { Visit } from "../at-tank/visit.ts";
import { buildYesOrNo } from "../conversation/question.ts";
import { canAsk, Left, openConversation, thisTerminal } from "../conversation/terminal.ts";
import { typed, type Where } from "../typed.ts";
import { wrapWords } from "../wrap-words.ts";
import { type Clock, MOMENTS_EXPECTED, type Moment, nameDay, nameMoment, readClock, readMoment } from "./moments.ts";

interface Options extends Where {
  readonly from: string;
  readonly to?: string;
  readonly yes?: true;
  readonly back?: true;
}

/** `evenbrine absence --to "in 14 days"`: the answer beforehand, and only then is it told to the controller. */
export const absenceCommand = (): Command =>
  atTank(
    new Command("absence")
      .description(
        "you go away: what runs out or falls due meanwhile and what to do now; once told, reminders rest until you are back",
      )
      .option("--from <when>", `when you leave: ${MOMENTS_EXPECTED}`, "now")
      .option("--to <when>", "when you are back; a date alone counts whole")
      .option("--yes", "tell the controller without asking once more")
      .option("--back", "you are back, or do not go"),
    async (visit, options: Options) => {
      if (options.back === true) await askAndSay(visit, "end-absence", {});
      else if (options.to === undefined) showStanding(visit, options);
      else await tellAbsence(visit, { ...options, to: options.to });
    },
  );

/** Without a time: what was told. */
function showStanding(visit: Visit, where: Where): void {
  const state = visit.text("absence/state");
  const ends = visit.text("absence/ends");
  if (state === "lasting" || state === "planned") {
    console.log(`An absence is ${state}, until ${ends === "" ? "you say that you are back" : nameMoment(ends)}.`);
    console.log(`When you are back: ${typed("absence --back", where)}`);
  } else console.log(`No absence was told. Such as: ${typed('absence --to "in 14 days"', where)}`);
}

async function tellAbsence(visit: Visit, { from, to: until, yes, ...where }: Options & { to: string }): Promise<void> {
  const clock = readClock(visit.text("box/clock"));
  const span = readSpan(readMoment(from, "first", clock), readMoment(until, "last", clock));
  if ("refused" in span) return refuse(span.refused);
  for (const line of answerLines(visit, span, clock)) console.log(line);
  if (yes !== true) {
    if (!canAsk(thisTerminal))
      return refuse("Nothing was told to the controller: add --yes to tell it without being asked.");
    if (!(await isWanted())) return refuse("Nothing was told to the controller.");
  }
  const { accepted, why } = await visit.ask("absence", span);
  if (!accepted) return refuse(`Refused. ${why}`);
  console.log(`Noted. When you are back: ${typed("absence --back", where)}`);
  console.log(
    `A page for whoever looks after the box: ${typed("sitter-sheet settings.json --svg sitter-sheet.svg", where)}`,
  );
}

function refuse(why: string): void {
  console.error(why);
  process.exitCode = 1;
}

function readSpan(from: Moment, to: Moment): { readonly fromH: number; readonly toH: number } | { refused: string } {
  if ("refused" in from) return from;
  if ("refused" in to) return to;
  const [fromH, toH] = [from.hours, to.hours];
  const no = refuseSpan({ fromH, toH });
  return no === null ? { fromH, toH } : { refused: no };
}

async function isWanted(): Promise<boolean> {
  try {
    const words = { id: "absence", asks: "Tell the controller that you are away" };
    return await openConversation(thisTerminal, { words: {} }).ask(buildYesOrNo(words));
  } catch (error) {
    if (error instanceof Left) return false;
    throw error;
  }
}

const WIDTH = 92;

/** The verdict, what to do now, and what lasts. */
export function answerLines(
  visit: Pick<Visit, "text" | "greeting">,
  span: { fromH: number; toH: number },
  clock: Clock,
): string[] {
  const { parts } = JSON.parse(visit.text("absence/due") || '{"parts":[]}') as { readonly parts: readonly Due[] };
  const name = clock === null ? inDays : (hours: number) => nameDay(hours, clock);
  const { verdict, asks, lasts } = describeOutlook(forecastAbsence(parts, span), visit.greeting.units, name);
  return [
    ...wrapWords(verdict, WIDTH),
    ...(asks.length > 0 ? ["", "Before you leave:", ...listed(asks)] : []),
    ...(lasts.length > 0 ? ["", "This lasts:", ...listed(lasts)] : []),
    "",
  ];
}

const listed = (sentences: readonly string[]): string[] =>
  sentences.flatMap((sentence) =>
    wrapWords(sentence, WIDTH - 2).map((line, index) => `${index === 0 ? "- " : "  "}${line}`),
  );
