/** What is to happen, in order of time; what falls on the same moment happens in the order it was written. */
export interface Agenda {
  add(atMs: number, act: () => void): void;
  /** Does all that is due. */
  until(nowMs: number): void;
}

interface Entry {
  readonly atMs: number;
  readonly order: number;
  readonly act: () => void;
}

/** `happened` is called after anything has been done. */
export function createAgenda(happened: () => void = () => undefined): Agenda {
  const entries: Entry[] = [];
  let added = 0;
  return {
    add: (atMs, act) => {
      entries.push({ atMs, order: added++, act });
      // Newest last in the list is the next to happen: the end of a list is cheap to take from.
      entries.sort((a, b) => b.atMs - a.atMs || b.order - a.order);
    },
    until: (nowMs) => {
      for (let next = entries.at(-1); next !== undefined && next.atMs <= nowMs; next = entries.at(-1)) {
        entries.pop();
        next.act();
        happened();
      }
    },
  };
}
