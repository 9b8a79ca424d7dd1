import { type ReadonlySignal, useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Answer } from "../incoming/asking.ts";
import type { Box } from "../incoming/box.ts";

/** Asks, and keeps what became of it. One question at a time. */
export function useAsking(box: Box): { answer: ReadonlySignal<Answer | null>; ask: Box["ask"] } {
  const answer = useSignal<Answer | null>(null);
  return {
    answer,
    async ask(kind, body) {
      answer.value = { kind: "sending" };
      const outcome = await box.ask(kind, body);
      answer.value = outcome;
      return outcome;
    },
  };
}

/** What became of a request, said aloud; takes the focus over when the button that was pressed has gone. */
export function AnswerLine({ answer }: { answer: ReadonlySignal<Answer | null> }) {
  const line = useRef<HTMLParagraphElement>(null);
  const shown = answer.value;
  useEffect(() => {
    if (shown === null || shown.kind === "sending") return;
    const timer = window.setTimeout(() => {
      if (document.activeElement === null || document.activeElement === document.body) line.current?.focus();
    }, AFTER_REDRAW_MS);
    return () => window.clearTimeout(timer);
  }, [shown]);
  return (
    <p class={`answer answer-${shown?.kind ?? "none"}`} role="status" tabIndex={-1} ref={line}>
      {shown === null ? "" : answerWords(shown)}
    </p>
  );
}

const AFTER_REDRAW_MS = 400;

function answerWords(answer: Answer): string {
  switch (answer.kind) {
    case "sending":
      return "Asking the controller…";
    case "accepted":
      return `✓ Done. ${answer.why}`;
    case "refused":
      return `✕ Refused. ${answer.why}`;
    case "not-sent":
      return "✕ Not sent: there is no connection to the controller.";
    case "unanswered":
      return "? No answer. It may or may not have been carried out: look at what is shown before you ask again.";
  }
}
