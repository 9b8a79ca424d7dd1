import { InvalidArgumentError } from "commander";

/** Reads a flag that wants a whole number, and says the range where it is none. */
export const parseWholeNumber =
  (least: number, most: number) =>
  (text: string): number => {
    const value = Number(text);
    if (!/^\d{1,9}$/.test(text) || value < least || value > most) {
      throw new InvalidArgumentError(`A whole number from ${least} to ${most} is expected.`);
    }
    return value;
  };
