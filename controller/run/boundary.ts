/**
 * The boundary between the scan and everything that serves people in its process: the sentence, the button, the report,
 * what is typed and what is asked. What fails there is caught, counted and told; the scan never knows.
 */
export interface Boundary {
  /** `name` fits into "… fails". */
  attempt(name: string, act: () => void): void;
  /** What failed lately, and why; null = nothing did. */
  fault(): string | null;
  failures(): number;
}

/** For so long after it a failure is told, and not said again. */
const TOLD_FOR_MS = 600_000;
const MOST_TOLD = 16;

export function createBoundary(nowMs: () => number, say: (line: string) => void): Boundary {
  let failures = 0;
  let last: { readonly fault: string; readonly atMs: number } | null = null;
  const told = new Map<string, number>();
  const isNews = (fault: string) => nowMs() - (told.get(fault) ?? Number.NEGATIVE_INFINITY) >= TOLD_FOR_MS;
  const fail = (name: string, error: unknown) => {
    const fault = `${name}: ${error instanceof Error ? error.message : String(error)}`;
    failures += 1;
    last = { fault, atMs: nowMs() };
    if (!isNews(fault)) return;
    if (told.size >= MOST_TOLD) told.clear();
    told.set(fault, nowMs());
    try {
      say(`A part of the program fails (${fault}). The tank is looked after as ever.`);
    } catch {
      // It is the terminal itself that fails; the alarm tells of it.
    }
  };
  return {
    attempt(name, act) {
      try {
        act();
      } catch (error) {
        fail(name, error);
      }
    },
    fault: () => (last !== null && nowMs() - last.atMs < TOLD_FOR_MS ? last.fault : null),
    failures: () => failures,
  };
}
