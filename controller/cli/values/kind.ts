/** One kind of value that a person may type: what it is called, which units say it, and what is refused with advice. */
export type Kind<V> = {
  readonly what: string;
  /** From the unit as typed, simplified (`simplifyUnit`), to the value in the unit that the equations take. */
  readonly units: Readonly<Record<string, (value: number) => V>>;
  /** Units that mean more than one thing, with the choice that the person has to make. */
  readonly unclear?: Readonly<Record<string, string>>;
  readonly example: string;
  /** Asked in the stead of "Which …?" where the word alone would have to be guessed. */
  readonly question?: string;
  /** For what is no number with a unit: reads the whole text, null when it is not one. */
  readonly read?: (text: string) => V | null;
};

/** A word out of a few, where a wrong guess would be a wrong answer. */
export type Choice<W extends string> = {
  readonly what: string;
  readonly words: readonly W[];
  readonly question: string;
};

export type Read<V> = { readonly value: V } | { readonly refused: string };

/** Units are compared without case, blanks, degree signs and dots, with one spelling of micro, square and slash. */
export const simplifyUnit = (unit: string): string =>
  unit
    .toLowerCase()
    .replace(/[\s°·.]/g, "")
    .replace(/[µμ]/g, "u")
    .replace(/²/g, "2")
    .replace(/³/g, "3")
    .replace(/ω|Ω/g, "ohm")
    .replace(/₂/g, "2")
    .replace(/₃/g, "3")
    .replace(/₄/g, "4")
    .replace(/⁺|⁻/g, "");

/** A quantity as typed, "53.0mS/cm" or "77 °F". A number without its unit is refused, and so is a doubtful one. */
export function readQuantity<V>(kind: Kind<V>, text: string): Read<V> {
  if (kind.read !== undefined) {
    const value = kind.read(text);
    return value === null ? { refused: `"${text}" is no ${kind.what}; write it like ${kind.example}.` } : { value };
  }
  const match = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(.*)$/i.exec(text);
  if (match === null) return { refused: `"${text}" is no ${kind.what}; write it like ${kind.example}.` };
  const [, digits, typed] = match;
  if (/^[,\d]/.test(typed!))
    return { refused: `"${text}" has a comma; write decimals with a point, like ${kind.example}.` };
  const unit = simplifyUnit(typed!);
  const make = Object.hasOwn(kind.units, unit) ? kind.units[unit] : undefined;
  if (make !== undefined) return { value: make(Number(digits)) };
  const choice = kind.unclear !== undefined && Object.hasOwn(kind.unclear, unit) ? kind.unclear[unit] : undefined;
  if (choice !== undefined) return { refused: `"${text}": ${choice}` };
  if (unit === "") return { refused: `${digits} in which unit? Write a ${kind.what} like ${kind.example}.` };
  return { refused: `"${typed}" is not a unit of ${kind.what} here; write it like ${kind.example}.` };
}

export function readChoice<W extends string>(choice: Choice<W>, text: string): Read<W> {
  const word = choice.words.find((candidate) => candidate.toLowerCase() === text.trim().toLowerCase());
  return word === undefined ? { refused: `"${text}" is no ${choice.what}. ${choice.question}` } : { value: word };
}
