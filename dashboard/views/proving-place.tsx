import { useSignal } from "@preact/signals";
import type { FunctionComponent } from "preact";
import { PROOF_PARTS, PROOF_WORDS } from "../../shared/contract/proving.ts";
import type { Box } from "../incoming/box.ts";
import { readOneOf } from "../incoming/payload.ts";

/** Where proofs and calibrations are shown; what shows them is fetched only when somebody wants to see it. */
export function ProvingPlace({ box }: { box: Box }) {
  const sheet = useSignal<FunctionComponent<{ box: Box }> | null>(null);
  const trouble = useSignal("");
  const open = async (): Promise<void> => {
    try {
      const { ProvingSheet } = await import("./proving.tsx");
      sheet.value = ProvingSheet;
      trouble.value = "";
    } catch {
      trouble.value = "This part of the page could not be loaded; press again in a moment.";
    }
  };
  const Sheet = sheet.value;
  return (
    <section class="proving" aria-labelledby="proving-title" data-old={!box.fresh.value}>
      <h2 id="proving-title">Proofs and calibrations</h2>
      <p role="status">{nextWords(box)}</p>
      {Sheet === null ? (
        <button type="button" class="button" onClick={open}>
          Show every part
        </button>
      ) : (
        <Sheet box={box} />
      )}
      <p class="fault" role="alert">
        {trouble.value}
      </p>
    </section>
  );
}

function nextWords(box: Box): string {
  if (box.text("proving", "status") === "") return "The controller has said nothing about proofs.";
  const told = box.text("proving", "next");
  const next = readOneOf(told, PROOF_PARTS);
  if (next !== null) return `To be proven next: ${PROOF_WORDS[next]}.`;
  return told === "" ? "Every part is proven, and none is due." : "Which part is to be proven next is not known.";
}
