/** One part on the sheet: where its wires end, what they do, and what a broken one does. */
export interface Row {
  /** The part's name in the settings. */
  readonly key: string;
  readonly words: string;
  readonly board: string;
  readonly terminal: string;
  readonly drawing: "closed-contact" | "open-contact" | "probe" | "relay" | "guard";
  readonly wiring: string;
  readonly broken: string;
  readonly shorted: string;
  /** What it is, or reads, when nothing else is known. */
  readonly safe: string;
  /** What somebody does to see that it works. */
  readonly seen: string;
}
