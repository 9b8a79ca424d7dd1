import { z } from "zod";

/** What hands can do, and what a scenario may say of each. */
const from = (least: number, most: number, words: string) => z.number().min(least).max(most).describe(words);
const hour = (words: string) => from(0, 1_000_000, `${words}; hours from the beginning`);
const salinity = (words: string) => from(0, 42, words);

/** Of every hand. What is done again and again is written once. */
const done = {
  atH: hour("When it is done").default(0),
  told: z.boolean().default(true).describe("False: done without a word to the controller"),
  everyH: from(0.01, 100_000, "Done again after this long, hours, and so on").optional(),
  untilH: hour("Not done again after this; left out = until the end").optional(),
};

export const LIFTED_FLOATS = ["working-float", "high-float", "low-float", "reservoir-float"] as const;

export const handSchema = z
  .discriminatedUnion("do", [
    z.strictObject({
      do: z.literal("hold"),
      ...done,
      minutes: from(1, 240, "Length of the hold, minutes").default(30),
    }),
    z.strictObject({
      do: z.literal("end-hold"),
      ...done,
      answer: z.enum(["salt-water-added", "evaporation"]).default("evaporation"),
    }),
    z.strictObject({
      do: z.literal("refill"),
      ...done,
      litres: from(
        0.01,
        100,
        "Fresh water for the reservoir, L, no more than fits; left out = until it is full",
      ).optional(),
    }),
    z.strictObject({
      do: z.literal("water-change"),
      ...done,
      litres: from(0.1, 1000, "L, out at 4 L/min, then as much in").default(14),
      salinity: salinity("Practical salinity of the new water").default(35),
    }),
    z.strictObject({
      do: z.literal("hand-test"),
      ...done,
      salinity: salinity("What the test shows; left out = the truth").optional(),
    }),
    z.strictObject({
      do: z.literal("salinity-measured-wrong"),
      ...done,
      salinity: salinity("What is entered, whatever the truth is"),
    }),
    z.strictObject({
      do: z.literal("correct-measurement"),
      ...done,
      salinity: salinity("What should have been entered; left out = the truth").optional(),
    }),
    z.strictObject({
      do: z.literal("return-pump-rest"),
      ...done,
      minutes: from(0.1, 1440, "How long the return pump stands still, minutes").default(10),
    }),
    z.strictObject({
      do: z.literal("lift-float"),
      ...done,
      part: z.enum(LIFTED_FLOATS),
      seconds: from(0.25, 600, "How long it is held up, seconds").default(10),
    }),
    z.strictObject({ do: z.literal("absence"), ...done, toH: hour("When somebody is back") }),
    z.strictObject({ do: z.literal("acknowledge"), ...done }),
    z.strictObject({ do: z.literal("clear"), ...done }),
  ])
  .superRefine((hand, context) => {
    const expect = (holds: boolean, key: string, expected: string) => {
      if (!holds) context.addIssue({ code: "custom", path: [key], message: expected });
    };
    const { atH, everyH, untilH } = hand;
    expect(untilH === undefined || everyH !== undefined, "untilH", "nothing, or everyH beside it");
    expect(untilH === undefined || untilH >= atH, "untilH", `atH, ${atH}, or later`);
    if (hand.do === "absence") expect(hand.toH > atH, "toH", `later than atH, ${atH}`);
  });

export type Hand = z.infer<typeof handSchema>;
export type HandOf<Do extends Hand["do"]> = Extract<Hand, { readonly do: Do }>;

/** Hours at which a hand does this in so long a scenario. */
export function timesOf({ atH, everyH, untilH }: Hand, hours: number): readonly number[] {
  const lastH = Math.min(untilH ?? hours, hours);
  const times = everyH === undefined ? 1 : Math.floor((lastH - atH) / everyH + NEARLY) + 1;
  return Array.from({ length: Math.max(0, times) }, (_, place) => atH + place * (everyH ?? 0));
}

/** A tenth of an hour ten times is an hour, whatever the last digit says. */
const NEARLY = 1e-9;
