import type { ScanRecord } from "../../shared/contract/index.ts";
import type { Report } from "./report.ts";

/**
 * Follows what belongs together: an episode begins with the first alarm in calm, takes in all that are raised while any
 * stands, and ends when none does.
 */
export interface EpisodeWatch {
  see(record: Pick<ScanRecord, "alarms">, atH: number): void;
  rows(): Report["episodes"];
}

interface Episode {
  readonly cause: string;
  readonly atH: number;
  readonly alarms: string[];
}

export function watchEpisodes(): EpisodeWatch {
  const all: Episode[] = [];
  let open: Episode | null = null;
  return {
    see: ({ alarms }, atH) => {
      if (alarms.length === 0) {
        open = null;
        return;
      }
      const standing = alarms.filter(({ state }) => state !== "returned" && state !== "suppressed");
      if (standing.length === 0) open = null;
      for (const { id } of standing) {
        if (open === null) {
          open = { cause: (standing.find(({ first }) => first) ?? standing[0])?.id ?? id, atH, alarms: [] };
          all.push(open);
        }
        if (!open.alarms.includes(id)) open.alarms.push(id);
      }
    },
    rows: () => all,
  };
}
