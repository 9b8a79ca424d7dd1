import { REFILL_ASKS } from "../../../controller/rehearsal/ask-rows.ts";
import { type Broken, type Life, loudAlarms, WEEK_H } from "../life.ts";

/** Of alarms above low priority, in a hundred weeks in which nothing fails. */
const LOUD_IN_HUNDRED = 2;

/** Of a life only what people heard. */
export type Heard = Pick<Life, "hours" | "alarms" | "asks">;

export const refillAsks = ({ asks }: Pick<Heard, "asks">): number =>
  asks.filter(({ what }) => REFILL_ASKS.includes(what)).length;
export const otherAsks = ({ asks }: Pick<Heard, "asks">): Life["asks"] =>
  asks.filter(({ what }) => !REFILL_ASKS.includes(what));

/** H5: how often healthy boxes ask. Over many weeks: loud alarms; in each of them: anything besides refills. */
export function rarelyAsks(lives: readonly Heard[]): readonly Broken[] {
  const weeks = lives.reduce((sum, { hours }) => sum + hours / WEEK_H, 0);
  const loud = lives.flatMap(loudAlarms);
  const most = Math.floor((LOUD_IN_HUNDRED * weeks) / 100);
  const alarms: Broken[] =
    loud.length <= most
      ? []
      : [{ promise: "H5", atH: 0, what: `${loud.length} loud alarms in ${weeks.toFixed(0)} weeks, at most ${most}` }];
  return [...alarms, ...lives.flatMap(asksTooOften)];
}

function asksTooOften(life: Heard): Broken[] {
  const asks = otherAsks(life);
  const second = asks.find(({ atH }, place) => {
    const before = asks[place - 1];
    return before !== undefined && atH - before.atH < WEEK_H;
  });
  if (second === undefined) return [];
  const inWeek = asks.filter(({ atH }) => atH > second.atH - WEEK_H && atH <= second.atH).map(({ what }) => what);
  return [{ promise: "H5", atH: second.atH, what: `asked twice in a week: ${inWeek.join(", ")}` }];
}
