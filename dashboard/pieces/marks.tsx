import type { AlarmPriority } from "../../shared/contract/record.ts";

/** Shapes that say the same as the words beside them, for whoever does not see colours. */
export function PriorityMark({ priority }: { priority: AlarmPriority }) {
  return (
    <svg class={`mark mark-${priority}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      {priority === "high" && <path d="M10 1 L19.5 18.5 L0.5 18.5 Z" />}
      {priority === "medium" && <path d="M10 0.5 L19.5 10 L10 19.5 L0.5 10 Z" />}
      {priority === "low" && <path d="M1 3 h18 v14 h-18 Z" />}
      <text x="10" y={priority === "high" ? 16.5 : 15} text-anchor="middle">
        {priority === "high" ? "!" : priority === "medium" ? "!" : "i"}
      </text>
    </svg>
  );
}

export function QualityMark({ quality }: { quality: "good" | "uncertain" | "bad" | "unknown" }) {
  if (quality === "good") return null;
  return (
    <svg class={`mark mark-quality-${quality}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      {quality === "uncertain" ? (
        <path d="M2 8 Q6 3 10 8 T18 8 M2 14 Q6 9 10 14 T18 14" />
      ) : (
        <path d="M3 3 L17 17 M17 3 L3 17" />
      )}
    </svg>
  );
}
