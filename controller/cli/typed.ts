/** Where the running controller keeps its memory, as far as it was said. */
export interface Where {
  readonly data?: string;
  readonly tank?: string;
}

export const USUAL_DATA = ".evenbrine";

/** The scripts of `package.json` by which npm starts this program. */
const SCRIPTS: readonly (string | undefined)[] = ["start", "evenbrine"];

/** A command as whoever reads it would type it: by npm where npm has started this one. */
export function typed(words: string, { data = USUAL_DATA, tank }: Where = {}): string {
  const by = SCRIPTS.includes(process.env.npm_lifecycle_event) ? "npm run evenbrine --" : "evenbrine";
  const where = [data === USUAL_DATA ? "" : ` --data ${data}`, tank === undefined ? "" : ` --tank ${tank}`];
  return `${by} ${words}${where.join("")}`;
}
