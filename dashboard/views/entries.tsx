import { useSignal } from "@preact/signals";
import type { Box } from "../incoming/box.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";

/** What only a person knows: a measurement by hand, and water carried to the reservoir. */
export function Entries({ box }: { box: Box }) {
  return (
    <section class="entries" aria-labelledby="entries-title">
      <h2 id="entries-title">Enter by hand</h2>
      <Entry
        box={box}
        kind="hand-test"
        field="salinity"
        label="Salinity measured by hand"
        hint="practical salinity, 0 to 42"
        button="Enter salinity"
        most={42}
        mayBeZero
      />
      <Entry
        box={box}
        kind="reservoir-test"
        field="salinity"
        label="Salinity of the reservoir"
        hint="0 when it is fresh, up to 42"
        button="Enter its salinity"
        most={42}
        mayBeZero
      />
      <Entry
        box={box}
        kind="refill"
        field="litres"
        label="Litres put into the reservoir"
        hint="litres, up to 100"
        button="Enter litres"
        most={100}
      />
      <CartridgeEntry box={box} />
    </section>
  );
}

/** Nothing to type: that it was changed is all there is to know. */
function CartridgeEntry({ box }: { box: Box }) {
  const { answer, ask } = useAsking(box);
  return (
    <div class="entry">
      <span class="label">Cartridge of the source water</span>
      <span class="hint" id="cartridge-hint">
        once a new one is in place; its litres and days then count from now
      </span>
      <div class="entry-row">
        <button
          type="button"
          class="button"
          aria-describedby="cartridge-hint"
          onClick={() => void ask("cartridge-changed", {})}
        >
          Cartridge was changed
        </button>
      </div>
      <AnswerLine answer={answer} />
    </div>
  );
}

interface EntryProps {
  box: Box;
  kind: "hand-test" | "reservoir-test" | "refill";
  field: "salinity" | "litres";
  label: string;
  hint: string;
  button: string;
  most: number;
  mayBeZero?: boolean;
}

function Entry({ box, kind, field, label, hint, button, most, mayBeZero = false }: EntryProps) {
  const { answer, ask } = useAsking(box);
  const typed = useSignal("");
  const fault = useSignal("");

  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const value = readTyped(typed.value);
    if (value === null || value > most || (value === 0 && !mayBeZero)) {
      fault.value = `Not sent: ${typed.value.trim() === "" ? "nothing was typed" : `“${typed.value}” does not fit`}. Give ${hint}.`;
      return;
    }
    fault.value = "";
    const outcome = await ask(kind, { [field]: value });
    if (outcome.kind === "accepted") typed.value = "";
  };

  return (
    <form class="entry" onSubmit={send} noValidate>
      <label for={kind}>{label}</label>
      <span class="hint" id={`${kind}-hint`}>
        {hint}
      </span>
      <div class="entry-row">
        <input
          id={kind}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          maxLength={10}
          value={typed.value}
          aria-describedby={`${kind}-hint ${kind}-fault`}
          aria-invalid={fault.value !== ""}
          onInput={(event) => (typed.value = event.currentTarget.value)}
        />
        <button type="submit" class="button">
          {button}
        </button>
      </div>
      <p class="fault" id={`${kind}-fault`} role="alert">
        {fault.value}
      </p>
      <AnswerLine answer={answer} />
    </form>
  );
}

/** Both decimal marks, since both are on keyboards; nothing else. */
function readTyped(text: string): number | null {
  const plain = text.trim().replace(",", ".");
  return /^\d{1,3}(\.\d{1,3})?$/.test(plain) ? Number(plain) : null;
}
