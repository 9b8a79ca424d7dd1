/**
 * A state of a machine as a few whole words, so that millions of them fit and are compared at once.
 * Every field of the memory has a line in a table. A field without a line, a value that is no whole number of its
 * unit, or more different values than the line allows stops the exploration and says so: nothing is dropped silently.
 */

export type Leaf = number | string | boolean | null | object;
export type Group = Readonly<Record<string, Leaf>>;
/** Two levels: a part of the state, and its fields. */
export type State = Readonly<Record<string, Group>>;

export interface Field {
  readonly bits: number;
  /** For amounts: what they are a whole number of. Null = a choice. */
  readonly unit: number | null;
  /** For values that are objects: what they are told apart by. */
  readonly key: ((value: object) => string) | null;
}

/** An amount that is a whole number of `unit`, or null. */
export const amount = (bits: number, unit = 1): Field => ({ bits, unit, key: null });
export const choice = (bits: number): Field => ({ bits, unit: null, key: null });
export const flag: Field = choice(1);
export const record = (bits: number, key: (value: never) => string): Field => ({
  bits,
  unit: null,
  key: key as (value: object) => string,
});

export type Table = Readonly<Record<string, Readonly<Record<string, Field>>>>;

interface Line {
  readonly group: string;
  readonly name: string;
  readonly field: Field;
  readonly word: number;
  readonly shift: number;
  readonly mask: number;
  readonly known: Map<Leaf, number>;
  readonly values: Leaf[];
}

const BITS_PER_WORD = 32;

export class Packer<S> {
  readonly words: number;
  readonly #lines: readonly Line[];
  readonly #table: Table;

  readonly #model: State;

  constructor(table: Table, model: S) {
    this.#model = model as unknown as State;
    const lines: Line[] = [];
    let word = 0;
    let shift = 0;
    for (const [group, fields] of Object.entries(table)) {
      for (const [name, field] of Object.entries(fields)) {
        if (shift + field.bits > BITS_PER_WORD) {
          word += 1;
          shift = 0;
        }
        lines.push({ group, name, field, word, shift, mask: 2 ** field.bits - 1, known: new Map(), values: [] });
        shift += field.bits;
      }
    }
    this.words = word + 1;
    this.#lines = lines;
    this.#table = table;
  }

  encode(state: S, into: Uint32Array): void {
    into.fill(0);
    for (const line of this.#lines) {
      const value = (state as unknown as State)[line.group]?.[line.name] as Leaf;
      const known = line.known.get(value);
      const index = known === undefined ? intern(line, value) : known;
      into[line.word] = ((into[line.word] as number) | (index << line.shift)) >>> 0;
    }
  }

  decode(words: Uint32Array, at: number): S {
    // Begun as a copy of a real one, so that the machine meets objects of the shape that it always has.
    const state: Record<string, Record<string, Leaf>> = {};
    for (const group in this.#model) state[group] = { ...(this.#model[group] as Group) };
    for (const { group, name, mask, word, shift, values } of this.#lines) {
      (state[group] as Record<string, Leaf>)[name] = values[((words[at + word] as number) >>> shift) & mask] as Leaf;
    }
    return state as unknown as S;
  }

  /** Throws when the state has a field that the table does not name, or lacks one that it names. */
  expectEveryField(state: S): void {
    for (const [group, part] of Object.entries(state as unknown as State)) {
      const fields = this.#table[group];
      if (fields === undefined) throw new Error(`the exploration does not know the part "${group}" of the state`);
      for (const name of Object.keys(part)) {
        if (fields[name] === undefined) {
          throw new Error(`the exploration does not know the field "${group}.${name}": give it a line in its table`);
        }
      }
      for (const name of Object.keys(fields)) {
        if (!(name in part)) throw new Error(`the field "${group}.${name}" is gone: take its line out of the table`);
      }
    }
  }
}

function intern(line: Line, value: Leaf): number {
  const { group, name, field, known, values } = line;
  const where = `${group}.${name}`;
  if (value === undefined) throw new Error(`${where} has no value`);
  let key = value;
  if (field.key !== null && value !== null) {
    key = field.key(value as object);
    const index = known.get(key);
    if (index !== undefined) return index;
  } else if (typeof value === "object" && value !== null) {
    throw new Error(`${where} is an object: say in the table what tells two of them apart`);
  }
  if (field.unit !== null && value !== null) {
    if (typeof value !== "number" || !Number.isInteger(value / field.unit)) {
      throw new Error(`${where} is ${String(value)}, no whole number of ${field.unit}`);
    }
  }
  if (values.length >= 2 ** field.bits) {
    throw new Error(
      `${where} takes more than ${2 ** field.bits} values (${values.map(String).join(", ")}, ${String(value)})`,
    );
  }
  values.push(value);
  known.set(key, values.length - 1);
  return values.length - 1;
}

/** Packed states that were met, each with the state and the move that led to it first. */
export class Met {
  readonly #words: number;
  #packed: Uint32Array;
  #from: Int32Array;
  #by: Uint16Array;
  #slots: Int32Array;
  size = 0;

  constructor(words: number) {
    this.#words = words;
    this.#packed = new Uint32Array(words * 4096);
    this.#from = new Int32Array(4096);
    this.#by = new Uint16Array(4096);
    this.#slots = new Int32Array(8192).fill(-1);
  }

  get packed(): Uint32Array {
    return this.#packed;
  }

  from = (index: number): number => this.#from[index] as number;
  by = (index: number): number => this.#by[index] as number;

  /** The number of this state; a new one gets the next number. */
  add(words: Uint32Array, from: number, by: number): number {
    if (this.size === this.#from.length) this.#grow();
    const mask = this.#slots.length - 1;
    let slot = hash(words) & mask;
    for (let index = this.#slots[slot] as number; index >= 0; index = this.#slots[slot] as number) {
      if (this.#isSame(index, words)) return index;
      slot = (slot + 1) & mask;
    }
    this.#slots[slot] = this.size;
    this.#packed.set(words, this.size * this.#words);
    this.#from[this.size] = from;
    this.#by[this.size] = by;
    this.size += 1;
    return this.size - 1;
  }

  #isSame(index: number, words: Uint32Array): boolean {
    const at = index * this.#words;
    for (let word = 0; word < this.#words; word++) if (this.#packed[at + word] !== words[word]) return false;
    return true;
  }

  #place(index: number): void {
    const at = index * this.#words;
    const mask = this.#slots.length - 1;
    let slot = hash(this.#packed.subarray(at, at + this.#words)) & mask;
    while ((this.#slots[slot] as number) >= 0) slot = (slot + 1) & mask;
    this.#slots[slot] = index;
  }

  #grow(): void {
    const room = this.size * 2;
    const packed = new Uint32Array(room * this.#words);
    packed.set(this.#packed);
    this.#packed = packed;
    const from = new Int32Array(room);
    from.set(this.#from);
    this.#from = from;
    const by = new Uint16Array(room);
    by.set(this.#by);
    this.#by = by;
    this.#slots = new Int32Array(room * 2).fill(-1);
    for (let index = 0; index < this.size; index++) this.#place(index);
  }
}

function hash(words: Uint32Array): number {
  let sum = 0x9e3779b9;
  for (let word = 0; word < words.length; word++) {
    sum = Math.imul(sum ^ (words[word] as number), 0x85ebca6b);
    sum ^= sum >>> 13;
  }
  sum = Math.imul(sum, 0xc2b2ae35);
  return (sum ^ (sum >>> 16)) >>> 0;
}
