import type { Choice, Kind } from "../values/kind.ts";

/** One thing that a calculator asks for. */
export type Ask<V> = {
  readonly source: Kind<NonNullable<V>> | Choice<string>;
  readonly meaning: string;
  /** Asked for: without it there is no answer. Optional: may be left out. Otherwise the text taken in its stead. */
  readonly need: "asked" | "optional" | { readonly preset: string };
};

export const ask = <V>(source: Kind<V>, meaning: string): Ask<V> => ({
  source: source as never,
  meaning,
  need: "asked",
});
export const allow = <V>(source: Kind<V>, meaning: string): Ask<V | undefined> => ({
  source: source as never,
  meaning,
  need: "optional",
});
export const presume = <V>(source: Kind<V>, meaning: string, text: string): Ask<V> => ({
  source: source as never,
  meaning,
  need: { preset: text },
});
export const choose = <W extends string>(source: Choice<W>, meaning: string): Ask<W> => ({
  source,
  meaning,
  need: "asked",
});
export const allowChoice = <W extends string>(source: Choice<W>, meaning: string): Ask<W | undefined> => ({
  source: source as never,
  meaning,
  need: "optional",
});
export const presumeChoice = <W extends string>(source: Choice<W>, meaning: string, word: W): Ask<W> => ({
  source,
  meaning,
  need: { preset: word },
});

/** One line of an answer, with as many decimals as it deserves. */
export type Result = {
  readonly label: string;
  readonly value: number;
  readonly unit: string;
  readonly decimals: number;
  /** Expanded uncertainty, k = 2, where it is known. */
  readonly expanded?: number;
};

/** Where a number comes from. */
export type Why = { readonly equation: string; readonly source: string; readonly valid: string };

export type Answer = {
  readonly results: readonly Result[];
  readonly why: readonly Why[];
  readonly notes?: readonly string[];
  readonly cautions?: readonly string[];
};

/** No number, and in one plain sentence why, with the choice to make. */
export type Refusal = { readonly refused: string };

export type Calculator = {
  readonly name: string;
  readonly purpose: string;
  readonly asks: Readonly<Record<string, Ask<unknown>>>;
  readonly calculate: (given: never) => Answer | Refusal;
};

type Given<A> = { readonly [Name in keyof A]: A[Name] extends Ask<infer V> ? V : never };

/** Ties the values that a calculator receives to what it asks for. */
export const defineCalculator = <A extends Record<string, Ask<never> | Ask<unknown>>>(definition: {
  readonly name: string;
  readonly purpose: string;
  readonly asks: A;
  readonly calculate: (given: Given<A>) => Answer | Refusal;
}): Calculator => definition as unknown as Calculator;

export const makeResult = (label: string, value: number, unit: string, decimals: number): Result => ({
  label,
  value,
  unit,
  decimals,
});

export const refuseOutside = (what: string, range: string): Refusal => ({
  refused: `These values lie outside what ${what} is trusted for (${range}); check the reading and its unit.`,
});
