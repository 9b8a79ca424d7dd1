import { useSignal } from "@preact/signals";
import { SESSIONS, type Session, STANDARDS, type Standard } from "../../shared/contract/calibration.ts";
import { SESSION_WORDS, STANDARD_WORDS, stillWords } from "../../shared/contract/walk.ts";
import type { ShownSession } from "../incoming/calibration.ts";
import { valueWords } from "../pieces/words.ts";

type Body = Readonly<Record<string, string | number>>;

export function SessionBegin({ isAtTank, begin }: { isAtTank: boolean; begin: (session: Session) => void }) {
  if (!isAtTank) return <p class="aside">Calibrating is done at the tank.</p>;
  return (
    <div class="session-begin">
      {SESSIONS.map((session) => (
        <button key={session} type="button" class="button" onClick={() => begin(session)}>
          Calibrate: {SESSION_WORDS[session]}
        </button>
      ))}
    </div>
  );
}

interface SessionProps {
  readonly session: ShownSession;
  readonly isAtTank: boolean;
  readonly ask: (body: Body) => void;
}

/** A session at the probe, with what it reads just now. */
export function SessionUnderWay({ session, isAtTank, ask }: SessionProps) {
  const isCell = session.session === "conductivity";
  const unit = isCell ? "mS/cm" : "°C";
  // A thermometer is done with its reference; a cell may take a second standard first.
  const found = isCell && session.taken.length > 0;
  return (
    <div class="run-under-way" data-session={session.session}>
      <h3>Calibrating: {SESSION_WORDS[session.session]}</h3>
      <p class="countdown">
        {session.reads === null ? "no reading" : `${valueWords(session.reads, isCell ? 3 : 2)} ${unit}`}
        {isCell && session.temperatureC !== null && ` at ${valueWords(session.temperatureC, 2)} °C`}
        {`, ${stillWords(session.watchedMs, session.neededMs, session.isSteady)}`}
      </p>
      <p>{session.next}</p>
      {session.taken.map((taken, index) => (
        <p key={index} class="aside">
          Read {valueWords(taken.readMsPerCm, 3)}, should be {valueWords(taken.expectedMsPerCm, 3)} mS/cm.
        </p>
      ))}
      {!isAtTank && <p class="aside">It is gone on with at the tank.</p>}
      {isAtTank && isCell && !session.isDry && (
        <button type="button" class="button" onClick={() => ask({ step: "dry" })}>
          The cell is clean, dry and in air
        </button>
      )}
      {isAtTank && isCell && session.isDry && <StandardForm session={session} ask={ask} />}
      {isAtTank && !isCell && <ReferenceForm session={session.session} ask={ask} />}
      {isAtTank && (
        <div class="session-begin">
          {found && (
            <button type="button" class="button button-main" onClick={() => ask({ step: "accept" })}>
              Let it count from now on
            </button>
          )}
          <button type="button" class="button" onClick={() => ask({ step: "abandon" })}>
            Give it up, change nothing
          </button>
        </div>
      )}
    </div>
  );
}

const numberIn = (text: string): number | null =>
  /^\d{1,3}([.,]\d{1,4})?$/.test(text.trim()) ? Number(text.trim().replace(",", ".")) : null;

function Field(props: { id: string; label: string; value: string; set: (text: string) => void; isText?: boolean }) {
  return (
    <div class="entry">
      <label for={props.id}>{props.label}</label>
      <input
        id={props.id}
        type="text"
        inputMode={props.isText === true ? "text" : "decimal"}
        maxLength={props.isText === true ? 40 : 8}
        autoComplete="off"
        value={props.value}
        onInput={(event) => props.set(event.currentTarget.value)}
      />
    </div>
  );
}

function StandardForm({ session, ask }: Pick<SessionProps, "session" | "ask">) {
  const standard = useSignal<Standard>("sea-water-35");
  const lot = useSignal("");
  const celsius = useSignal("");
  const label = useSignal({ value: "", celsius: "25", percent: "2" });
  const fault = useSignal("");
  const send = (event: Event): void => {
    event.preventDefault();
    const body: Record<string, string | number> = { step: "standard", standard: standard.value };
    const numbers: Record<string, number | null> = {};
    if (session.temperatureC === null) numbers.temperatureC = numberIn(celsius.value);
    if (standard.value === "label") {
      numbers.labelMsPerCm = numberIn(label.value.value);
      numbers.labelC = numberIn(label.value.celsius);
      numbers.labelPercentPerK = numberIn(label.value.percent);
    }
    if (Object.values(numbers).includes(null)) {
      fault.value = "Not sent: a number is missing or cannot be read.";
      return;
    }
    fault.value = "";
    ask({ ...body, ...(lot.value.trim() === "" ? {} : { lot: lot.value.trim() }), ...(numbers as Body) });
  };
  return (
    <form class="session-form" onSubmit={send} noValidate>
      <label for="standard">Standard that the cell hangs in</label>
      <select
        id="standard"
        value={standard.value}
        onChange={(event) => (standard.value = event.currentTarget.value as Standard)}
      >
        {STANDARDS.map((each) => (
          <option key={each} value={each}>
            {STANDARD_WORDS[each]}
          </option>
        ))}
      </select>
      <Field id="lot" label="Lot on the bottle" value={lot.value} set={(text) => (lot.value = text)} isText />
      {session.temperatureC === null && (
        <Field
          id="standard-c"
          label="Its temperature, °C"
          value={celsius.value}
          set={(text) => (celsius.value = text)}
        />
      )}
      {standard.value === "label" && <LabelFields label={label.value} set={(next) => (label.value = next)} />}
      <button type="submit" class="button">
        Take this standard
      </button>
      <p class="fault" role="alert">
        {fault.value}
      </p>
    </form>
  );
}

interface Label {
  readonly value: string;
  readonly celsius: string;
  readonly percent: string;
}

function LabelFields({ label, set }: { label: Label; set: (label: Label) => void }) {
  return (
    <>
      <Field
        id="label-value"
        label="Value on the label, mS/cm"
        value={label.value}
        set={(value) => set({ ...label, value })}
      />
      <Field
        id="label-c"
        label="At which temperature, °C"
        value={label.celsius}
        set={(celsius) => set({ ...label, celsius })}
      />
      <Field
        id="label-percent"
        label="Change per kelvin, %"
        value={label.percent}
        set={(percent) => set({ ...label, percent })}
      />
    </>
  );
}

function ReferenceForm({ session, ask }: { session: Session; ask: (body: Body) => void }) {
  const celsius = useSignal("");
  const fault = useSignal("");
  const both = session === "thermometers";
  const send = (event: Event): void => {
    event.preventDefault();
    const referenceC = numberIn(celsius.value);
    fault.value = !both && referenceC === null ? "Not sent: give what the reference says, in °C." : "";
    if (fault.value === "")
      ask(both || referenceC === null ? { step: "reference" } : { step: "reference", referenceC });
  };
  return (
    <form class="session-form" onSubmit={send} noValidate>
      {!both && (
        <Field
          id="reference"
          label="The reference in the same water says, °C"
          value={celsius.value}
          set={(text) => (celsius.value = text)}
        />
      )}
      <button type="submit" class="button">
        {both ? "Take both as they stand" : "Take this temperature"}
      </button>
      <p class="fault" role="alert">
        {fault.value}
      </p>
    </form>
  );
}
