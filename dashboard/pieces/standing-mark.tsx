import type { ShownProof } from "../incoming/proving.ts";

/** The state of a proof as a shape, for whoever does not see colours; the words stand beside it. */
export function StandingMark({ standing }: { standing: ShownProof["standing"] }) {
  return (
    <svg class={`mark mark-proof mark-proof-${standing}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      {standing === "proven" && <path d="M3 11 L8 16 L17 4" />}
      {(standing === "due" || standing === "overdue") && <path d="M10 2 A8 8 0 1 1 9.9 2 M10 5 V10 L14 12" />}
      {(standing === "never" || standing === "fallen") && <path d="M3 3 H17 V17 H3 Z" />}
      {standing === "unknown" && <path d="M3 10 H17" />}
    </svg>
  );
}
