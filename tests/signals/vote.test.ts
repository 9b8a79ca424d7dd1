import { describe, expect, test } from "vitest";
import type { Answer } from "../../controller/signals/answer.ts";
import {
  type Apart,
  NEAR_NOBODY,
  NEVER_APART,
  type Near,
  type Source,
  type Trust,
  vote as voteOfAll,
  warmerOf,
} from "../../controller/signals/vote.ts";
import type { Doubt, Signal } from "../../shared/contract/index.ts";

const signal = (value: number | null, doubt: Doubt | null = null): Signal => ({
  value,
  quality: value === null ? "bad" : doubt === null ? "good" : "uncertain",
  doubt: value === null ? (doubt ?? "no-answer") : doubt,
  ageMs: 100,
  uncertainty: value === null ? null : 0.2,
  lastValue: value,
  lastValueAgeMs: 0,
});

const ABSENT = signal(null, "not-fitted");
const LONG = 300_000;
/** Nobody was seen to follow the heater, or not, unless it is said. */
type Answers = readonly [first: Answer, second: Answer, third: Answer];
const NOBODY_KNOWS: Answers = ["unknown", "unknown", "unknown"];
const voteOf = (
  first: Signal,
  second: Signal,
  third: Signal,
  apart: Apart,
  creditMs: number,
  [ofFirst, ofSecond, ofThird]: Answers = NOBODY_KNOWS,
  near: Near = NEAR_NOBODY,
  isFlowing = true,
) =>
  voteOfAll(
    {
      first: { who: "first", signal: first, answer: ofFirst },
      second: { who: "second", signal: second, answer: ofSecond },
      third: { who: "third", signal: third, answer: ofThird },
    },
    { apart, near },
    creditMs,
    isFlowing,
  );

/** After so much disagreement; five minutes of it are a doubt. */
const vote = (first: Signal, second: Signal, third: Signal, apartMs: number, creditMs: number) =>
  voteOf(first, second, third, { forMs: apartMs, doubted: apartMs >= LONG }, creditMs);

type Row = [
  name: string,
  first: Signal,
  second: Signal,
  third: Signal,
  apartMs: number,
  control: number | null,
  warmest: number | null,
  trust: Trust,
];

/** Who controls, who cuts, how far they are believed. */
const rows: Row[] = [
  ["two that agree: the mean", signal(24.8), signal(25.2), ABSENT, 0, 25, 25.2, "full"],
  ["0.7 K apart is agreement", signal(24.5), signal(25.2), ABSENT, 0, 24.85, 25.2, "full"],
  ["0.8 K apart for a moment: the warmer, no doubt yet", signal(24.5), signal(25.3), ABSENT, 0, 25.3, 25.3, "full"],
  ["agreeing again for less: the warmer still", signal(24.5), signal(25.2), ABSENT, 1_000, 25.2, 25.2, "full"],
  ["agreeing again for as long: the mean", signal(24.5), signal(25.2), ABSENT, 250, 24.85, 25.2, "full"],
  ["agreeing again after a doubt: not yet", signal(24.5), signal(25.2), ABSENT, LONG, 25.2, 25.2, "doubtful"],
  ["0.8 K apart for five minutes: the warmer", signal(24.5), signal(25.3), ABSENT, LONG, 25.3, 25.3, "doubtful"],
  ["2.1 K apart, no third: undecided, the warmer", signal(23), signal(25.1), ABSENT, 0, 25.1, 25.1, "undecided"],
  ["2.1 K apart, the third sides with the colder", signal(23), signal(25.1), signal(23.2), 0, 23, 25.1, "agreed"],
  ["2.1 K apart, the third sides with the warmer", signal(23), signal(25.1), signal(25), 0, 25.1, 25.1, "agreed"],
  ["2.1 K apart, the third sides with nobody", signal(23), signal(25.1), signal(30), 0, 25.1, 30, "undecided"],
  [
    "2.1 K apart, the third between them sides with nobody",
    signal(23),
    signal(25.1),
    signal(24.05),
    0,
    25.1,
    25.1,
    "undecided",
  ],
  ["0.8 K apart for long, the third near both", signal(24.5), signal(25.3), signal(24.9), LONG, 25.3, 25.3, "agreed"],
  ["a rate fault is excluded first", signal(22, "rate"), signal(25), signal(24.5), 0, 25, 25, "agreed"],
  ["a rate fault gives the third no second voice", signal(22, "rate"), signal(25), signal(22), 0, 25, 25, "undecided"],
  ["a warm rate fault still cuts", signal(29, "rate"), signal(25), ABSENT, 0, 25, 29, "doubtful"],
  ["both with a rate fault: undecided", signal(22, "rate"), signal(25, "rate"), ABSENT, 0, 25, 25, "undecided"],
  [
    "agreeing, one with a rate fault: the other alone",
    signal(25, "rate"),
    signal(25.1),
    ABSENT,
    0,
    25.1,
    25.1,
    "doubtful",
  ],
  ["a spike alone was mended already", signal(25, "spike"), signal(25.1), ABSENT, 0, 25.05, 25.1, "full"],
  ["one lost: the other, with care", signal(null), signal(25), ABSENT, 0, 25, 25, "doubtful"],
  ["only one fitted: it is all there is", signal(25), ABSENT, signal(20), 0, 25, 25, "full"],
  ["only one fitted, in doubt", signal(25, "rate"), ABSENT, ABSENT, 0, 25, 25, "doubtful"],
  ["one lost, the third within 1 K: two of three", signal(null), signal(25), signal(26), 0, 25, 26, "agreed"],
  [
    "one lost, the third a little more apart: the warmer",
    signal(null),
    signal(25),
    signal(26.5),
    0,
    26.5,
    26.5,
    "doubtful",
  ],
  [
    "one lost, the third contradicts: the warmer of the two",
    signal(24),
    signal(null),
    signal(28),
    0,
    28,
    28,
    "undecided",
  ],
  ["one lost, the third contradicts from below", signal(28), signal(null), signal(24), 0, 28, 28, "undecided"],
  ["both lost, the third stands in", signal(null), signal(null), signal(25), 0, 25, 25, "doubtful"],
  ["none", signal(null), signal(null), ABSENT, 0, null, null, "none"],
];

describe("the vote of the thermometers", () => {
  test.each(rows)("%s: control $5, cut $6, $7", (_name, first, second, third, apartMs, control, warmest, trust) => {
    const opinion = vote(first, second, third, apartMs, 250);
    if (control === null) expect(opinion.control.value).toBeNull();
    else expect(opinion.control.value).toBeCloseTo(control, 9);
    expect(opinion.warmest.value).toBe(warmest);
    expect(opinion.trust).toBe(trust);
    // S4: what is not trusted is never called good.
    if (trust !== "full" && trust !== "agreed") expect(opinion.control.quality).not.toBe("good");
  });

  test.each(rows)("other way round: %s: $5, $7", (_name, first, second, third, apartMs, control, warmest, trust) => {
    const opinion = vote(second, first, third, apartMs, 250);
    if (control === null) expect(opinion.control.value).toBeNull();
    else expect(opinion.control.value).toBeCloseTo(control, 9);
    expect(opinion).toMatchObject({ trust, warmest: { value: warmest } });
  });

  test("apart: time grows by the scan; agreed: shrinks to 0; one lost: stays; five minutes at most", () => {
    const apartMs = (first: Signal, second: Signal, beforeMs: number) =>
      vote(first, second, ABSENT, beforeMs, 250).apart.forMs;
    expect(apartMs(signal(24), signal(25), 1_000)).toBe(1_250);
    expect(apartMs(signal(25), signal(25), 1_000)).toBe(750);
    expect(apartMs(signal(25), signal(25), 100)).toBe(0);
    expect(apartMs(signal(null), signal(25), 1_000)).toBe(1_000);
    expect(apartMs(signal(24), signal(25), LONG)).toBe(LONG);
  });

  test("apart for five minutes: doubtful until agreed for as long, noise about the limit or not", () => {
    let apart = NEVER_APART;
    const seen = (second: number, forMs: number) => {
      for (let ms = 0; ms < forMs; ms += 1_000) apart = voteOf(signal(25), signal(second), ABSENT, apart, 1_000).apart;
      return voteOf(signal(25), signal(second), ABSENT, apart, 0);
    };
    expect(seen(25.8, LONG - 1_000).trust).toBe("full");
    expect(seen(25.8, 1_000)).toMatchObject({ trust: "doubtful", source: "warmer" });
    // Noise about the limit: neither doubt nor source goes to and fro with it.
    for (let turn = 0; turn < 20; turn++) {
      expect(seen(25.6, 2_000)).toMatchObject({ trust: "doubtful", source: "warmer" });
      expect(seen(25.8, 1_000)).toMatchObject({ trust: "doubtful", source: "warmer" });
    }
    expect(seen(25.6, LONG - 21_000)).toMatchObject({ trust: "doubtful", control: { value: 25.6 } });
    expect(seen(25.6, 1_000)).toMatchObject({ trust: "full", source: "mean", control: { value: 25.3 } });
  });

  test("agreed for the last 250 ms: full in that scan; apart again for a moment: full still; 249 ms: doubtful", () => {
    const last = { forMs: 250, doubted: true };
    const ended = voteOf(signal(25), signal(25.5), ABSENT, last, 250);
    expect(ended).toMatchObject({ trust: "full", source: "mean", apart: NEVER_APART });
    expect(voteOf(signal(25), signal(25.8), ABSENT, ended.apart, 250)).toMatchObject({ trust: "full", source: "mean" });
    expect(voteOf(signal(25), signal(25.5), ABSENT, last, 249)).toMatchObject({ trust: "doubtful", source: "warmer" });
  });

  test("trend: mean of both while not in doubt, then the controlling one's, null for none", () => {
    expect(vote(signal(24.5), signal(25.3), ABSENT, 0, 250)).toMatchObject({ trendC: 24.9, source: "mean" });
    expect(vote(signal(24.5), signal(25.3), ABSENT, LONG, 250)).toMatchObject({ trendC: 25.3, source: "warmer" });
    expect(vote(signal(24.5), signal(null), ABSENT, LONG, 250)).toMatchObject({ trendC: 24.5, source: "first" });
    expect(vote(signal(null), signal(null), ABSENT, 0, 250).trendC).toBeNull();
  });
});

describe("the warmer of two, by which the cut-out goes", () => {
  const lost = signal(null);
  const table: [story: string, one: Signal, other: Signal, warmer: Signal][] = [
    ["is the one", signal(29), signal(25), signal(29)],
    ["is the other", signal(25), signal(29), signal(29)],
    ["is the other where the one is lost: hot water is hot by one thermometer too", lost, signal(29), signal(29)],
    ["is the one where the other is lost", signal(29), lost, signal(29)],
    // Nothing that is read counts as 0 °C: brine that freezes is still a reading.
    ["is a freezing one rather than none", signal(-1), lost, signal(-1)],
    ["is nobody where both are lost", lost, ABSENT, ABSENT],
  ];
  test.each(table)("%s", (_story, one, other, warmer) => {
    expect(warmerOf(one, other)).toEqual(warmer);
  });
});

/** Whose word it is, when it changes hands, and what is known of the colder one. */
describe("the source of the vote", () => {
  const lost = signal(null);
  const table: [
    name: string,
    votes: [Signal, Signal, Signal],
    apartMs: number,
    source: Source,
    coldestC: number | null,
  ][] = [
    ["two that agree", [signal(24.8), signal(25.2), ABSENT], 0, "mean", 24.8],
    ["two to the last bit the same", [signal(25), signal(25), ABSENT], 0, "mean", 25],
    ["a little apart for long, the first warmer", [signal(25.3), signal(24.5), ABSENT], LONG, "warmer", 24.5],
    ["a little apart for long, the second warmer", [signal(24.5), signal(25.3), ABSENT], LONG, "warmer", 24.5],
    ["far apart, the first warmer", [signal(27), signal(24), ABSENT], 0, "first", 24],
    ["far apart, the second warmer", [signal(24), signal(27), ABSENT], 0, "second", 24],
    ["far apart, the first is believed", [signal(24), signal(27), signal(24.1)], 0, "first-of-two", 24],
    ["far apart, the second is believed", [signal(24), signal(27), signal(26.9)], 0, "second-of-two", 27],
    ["the first alone", [signal(25), lost, ABSENT], 0, "first", 25],
    ["the second alone", [lost, signal(25), ABSENT], 0, "second", 25],
    ["the first with the third", [signal(25), lost, signal(25.5)], 0, "first-with-third", 25],
    ["the second with the third", [lost, signal(25), signal(25.5)], 0, "second-with-third", 25],
    ["the third is far colder than the first", [signal(28), lost, signal(24)], 0, "first-with-third", 24],
    ["the third is far colder than the second", [lost, signal(28), signal(24)], 0, "second-with-third", 24],
    ["the third is far warmer", [signal(24), lost, signal(28)], 0, "third", 24],
    ["the third alone", [lost, lost, signal(25)], 0, "third", 25],
    ["nobody", [lost, lost, ABSENT], 0, "none", null],
  ];
  test.each(table)("%s: source $3, coldest $4", (_name, [first, second, third], apartMs, source, coldestC) => {
    expect(vote(first, second, third, apartMs, 250)).toMatchObject({ source, coldestC });
  });

  // Beside each limit, and 2 K and 0.7 K themselves in halves and quarters that a double holds exactly.
  test("0.7 K apart: agrees, with the third too", () => {
    expect(vote(signal(0), signal(0.7), ABSENT, 0, 250).apart.forMs).toBe(0);
    expect(vote(signal(0), signal(3), signal(0.7), 0, 250).source).toBe("first-of-two");
    expect(vote(signal(3), signal(0), signal(0.7), 0, 250).source).toBe("second-of-two");
  });

  test("2 K apart: no contradiction; 2.25: undecided; with the third too", () => {
    expect(vote(signal(23), signal(25), ABSENT, 0, 250).trust).toBe("full");
    expect(vote(signal(23), signal(25.25), ABSENT, 0, 250).trust).toBe("undecided");
    expect(vote(signal(23), lost, signal(25), 0, 250).trust).toBe("doubtful");
    expect(vote(signal(23), lost, signal(25.25), 0, 250).trust).toBe("undecided");
  });

  test("doubt of the controlling one: disagrees, single, rate, or what the lost one has", () => {
    const doubtOf = (first: Signal, second: Signal, third = ABSENT, apartMs = 0) =>
      vote(first, second, third, apartMs, 250).control;
    expect(doubtOf(signal(24), signal(27))).toMatchObject({ quality: "uncertain", doubt: "disagrees" });
    expect(doubtOf(signal(25), lost)).toMatchObject({ quality: "uncertain", doubt: "single" });
    expect(doubtOf(signal(25, "rate"), lost)).toMatchObject({ quality: "uncertain", doubt: "rate" });
    expect(doubtOf(signal(25, "rate"), signal(25.1))).toMatchObject({ quality: "uncertain", doubt: "single" });
    expect(doubtOf(signal(null, "stale"), ABSENT)).toMatchObject({ quality: "bad", doubt: "stale" });
    expect(doubtOf(ABSENT, signal(null, "stale"))).toMatchObject({ quality: "bad", doubt: "stale" });
    expect(doubtOf(signal(null, "garbled"), signal(null, "stale")).doubt).toBe("garbled");
    expect(doubtOf(ABSENT, ABSENT).doubt).toBe("not-fitted");
  });

  test("third 1.25 K from the one it sided with: still its vote; never sided, or 1.5 K away: the warmer", () => {
    const [cold, warm] = [signal(23), signal(26)];
    const sided = voteOf(cold, warm, signal(25), NEVER_APART, 250);
    expect(sided).toMatchObject({ source: "second-of-two", trust: "agreed", near: { first: false, second: true } });
    const still = voteOf(cold, warm, signal(24.75), NEVER_APART, 250, NOBODY_KNOWS, sided.near);
    expect(still.source).toBe("second-of-two");
    expect(voteOf(cold, warm, signal(24.75), NEVER_APART, 250).source).toBe("second");
    expect(voteOf(cold, warm, signal(24.5), NEVER_APART, 250, NOBODY_KNOWS, sided.near).source).toBe("second");
  });

  test("0.8 K apart for long, third near both: the one 0.2 K nearer controls, and until it is the farther; else the warmer", () => {
    const [wrong, right] = [signal(25.75), signal(25)];
    const APART: Apart = { forMs: LONG, doubted: true };
    expect(voteOf(wrong, right, signal(25.25), APART, 250)).toMatchObject({ source: "second-of-two", trust: "agreed" });
    expect(voteOf(right, wrong, signal(25.25), APART, 250)).toMatchObject({ source: "first-of-two", trust: "agreed" });
    expect(voteOf(wrong, right, signal(25.3), APART, 250).source).toBe("warmer");
    const sided: Near = { first: true, second: true, nearer: "second" };
    expect(voteOf(wrong, right, signal(25.3), APART, 250, NOBODY_KNOWS, sided).source).toBe("second-of-two");
    expect(voteOf(wrong, right, signal(25.4), APART, 250, NOBODY_KNOWS, sided).source).toBe("warmer");
    expect(voteOf(right, wrong, signal(25.3), APART, 250, NOBODY_KNOWS, { ...sided, nearer: "first" }).source).toBe(
      "first-of-two",
    );
  });

  test("no flow, apart: the warmest controls in doubt, whoever is believed else; agreeing: as ever", () => {
    const still = (first: Signal, second: Signal, third: Signal, answers: Answers = NOBODY_KNOWS) =>
      voteOf(first, second, third, { forMs: LONG, doubted: true }, 250, answers, NEAR_NOBODY, false);
    const [heaters, tanks, cell] = [signal(26.5), signal(24), signal(24.25)];
    const doubtful = {
      source: "warmest",
      trust: "doubtful",
      control: { value: 26.5, doubt: "disagrees" },
      coldestC: 24,
    };
    expect(still(heaters, tanks, cell)).toMatchObject({ ...doubtful, trendC: 26.5 });
    expect(still(heaters, tanks, cell, ["unknown", "expected", "expected"])).toMatchObject({
      control: { value: 26.5 },
    });
    expect(still(lost, tanks, cell)).toMatchObject({ source: "warmest", trust: "doubtful", control: { value: 24.25 } });
    expect(still(lost, lost, ABSENT)).toMatchObject({ source: "none", trust: "none" });
    expect(voteOf(signal(25.25), signal(25), cell, NEVER_APART, 250, NOBODY_KNOWS, NEAR_NOBODY, false)).toMatchObject({
      source: "mean",
      trust: "full",
    });
  });

  test("mean of two: age and uncertainty of the worse, both unknown: 0", () => {
    const one: Signal = { ...signal(24.8), ageMs: 100, uncertainty: 0.2, lastValueAgeMs: 10 };
    const other: Signal = { ...signal(25.2), ageMs: 900, uncertainty: 0.5, lastValueAgeMs: 20 };
    for (const { control } of [vote(one, other, ABSENT, 0, 250), vote(other, one, ABSENT, 0, 250)]) {
      expect(control).toMatchObject({
        ageMs: 900,
        uncertainty: 0.5,
        lastValue: 25,
        lastValueAgeMs: 20,
        quality: "good",
      });
    }
    expect(
      vote({ ...one, uncertainty: null }, { ...other, uncertainty: null }, ABSENT, 0, 250).control.uncertainty,
    ).toBe(0);
  });
});

/** *The thermometer that answers the heater is in the water*: it goes before the count of votes. */
describe("of thermometers that were watched beside the heater", () => {
  type Row = [
    story: string,
    votes: [Signal, Signal, Signal],
    answers: Answers,
    control: number,
    trust: Trust,
    source: Source,
  ];
  const lost = signal(null);
  const table: Row[] = [
    [
      "two in the air agree, and the cell's own follows: the cell's own controls",
      [signal(22), signal(22.1), signal(25)],
      ["unknown", "unknown", "expected"],
      25,
      "answered",
      "third-of-three",
    ],
    [
      "two that were seen not to follow, and the cell's own does",
      [signal(22), signal(22.1), signal(25)],
      ["below", "below", "expected"],
      25,
      "answered",
      "third",
    ],
    [
      "two that follow as well are not outvoted by a third with an offset",
      [signal(25), signal(25.1), signal(22)],
      ["expected", "expected", "expected"],
      25.05,
      "full",
      "mean",
    ],
    [
      "one follows, the other hangs in a cup that is warmer",
      [signal(24.8), signal(27.5), ABSENT],
      ["expected", "below", "unknown"],
      24.8,
      "answered",
      "first",
    ],
    [
      "one follows, the other hangs beside the heater",
      [signal(24.8), signal(27.5), ABSENT],
      ["expected", "above", "unknown"],
      24.8,
      "answered",
      "first",
    ],
    [
      "one follows, nothing is known of the other, and they contradict each other",
      [signal(27.5), signal(24.8), ABSENT],
      ["unknown", "expected", "unknown"],
      24.8,
      "answered",
      "second-of-two",
    ],
    [
      "both follow, a little apart for long: the warmer, and heat goes on",
      [signal(24.3), signal(25.3), ABSENT],
      ["expected", "expected", "unknown"],
      25.3,
      "answered",
      "warmer",
    ],
    [
      "both follow and contradict each other: undecided",
      [signal(22), signal(25.3), ABSENT],
      ["expected", "expected", "unknown"],
      25.3,
      "undecided",
      "second",
    ],
    [
      "one is lost, and the other follows",
      [lost, signal(25), ABSENT],
      ["unknown", "expected", "unknown"],
      25,
      "answered",
      "second",
    ],
    [
      "one is lost, the other in the air, the cell's own follows",
      [lost, signal(22), signal(25)],
      ["unknown", "below", "expected"],
      25,
      "answered",
      "third",
    ],
    [
      "one is lost, and the other was seen not to follow: nobody's word is worth much",
      [lost, signal(25), ABSENT],
      ["unknown", "below", "unknown"],
      25,
      "doubtful",
      "second",
    ],
    [
      "both agree, and neither follows",
      [signal(25), signal(25.1), ABSENT],
      ["below", "below", "unknown"],
      25.05,
      "doubtful",
      "mean",
    ],
    [
      "the only one that is fitted hangs in the air, and the cell's own follows",
      [signal(22), ABSENT, signal(25)],
      ["below", "unknown", "expected"],
      25,
      "answered",
      "third",
    ],
    [
      "a rate fault that follows again is not believed before one without, that nothing is known of",
      [signal(25, "rate"), signal(24), ABSENT],
      ["expected", "unknown", "unknown"],
      24,
      "doubtful",
      "second",
    ],
  ];
  test.each(table)("%s", (_story, [first, second, third], answers, control, trust, source) => {
    const apart = first.value === 24.3 ? { forMs: LONG, doubted: true } : NEVER_APART;
    const opinion = voteOf(first, second, third, apart, 250, answers);
    expect(opinion.control.value).toBeCloseTo(control, 9);
    expect(opinion).toMatchObject({ trust, source });
    // Whoever controls, the warmest that is not bad cuts.
    const warmest = Math.max(...[first, second, third].flatMap(({ value }) => (value === null ? [] : [value])));
    expect(opinion.warmest.value).toBe(warmest);
  });

  test("the coldest that follows is known apart from the coldest of all", () => {
    const of = (answers: Answers) =>
      voteOf(signal(24), signal(22), signal(25), NEVER_APART, 250, answers).coldestAnsweringC;
    expect(of(["expected", "below", "expected"])).toBe(24);
    expect(of(["expected", "expected", "expected"])).toBe(22);
    expect(of(NOBODY_KNOWS)).toBeNull();
  });

  test("somebody follows the heater, nobody does, or nobody knows", () => {
    const of = (first: Signal, answers: Answers) => voteOf(first, signal(25), lost, NEVER_APART, 250, answers).answered;
    expect(of(signal(25), ["unknown", "expected", "unknown"])).toBe("some");
    expect(of(signal(25), ["below", "below", "unknown"])).toBe("none");
    expect(of(signal(25), ["below", "unknown", "unknown"])).toBe("unknown");
    expect(of(signal(25), ["below", "above", "unknown"])).toBe("unknown");
    // One that hangs in the air perhaps speaks neither for the heater nor against it.
    expect(of(signal(25, "rate"), ["expected", "below", "unknown"])).toBe("none");
    expect(of(lost, ["expected", "below", "unknown"])).toBe("none");
  });
});
