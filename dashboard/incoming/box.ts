import { type ReadonlySignal, signal } from "@preact/signals";
import type { TankAnswer } from "../../shared/contract/http.ts";
import { topicOf } from "../../shared/contract/topics.ts";
import { type Asking, createAsking } from "./asking.ts";
import { connect } from "./connect.ts";
import type { Connection } from "./connection.ts";
import { createFreshness, type Freshness } from "./freshness.ts";
import { createNewest } from "./newest.ts";
import { readTimeMs } from "./payload.ts";
import { createValues, type Values } from "./values.ts";

/** Everything a view may know of one tank, and the one way to ask for something. */
export interface Box extends Values, Freshness {
  readonly tank: TankAnswer;
  /** True as soon as either source says so: a rehearsal taken for water is the worse mistake. */
  readonly isRehearsal: boolean;
  readonly ask: Asking["ask"];
  /** Says why the connection's own code could not be loaded, or "". */
  readonly trouble: ReadonlySignal<string>;
}

export function openBox(tank: TankAnswer): Box {
  const values = createValues(tank.tank);
  const freshness = createFreshness(() => performance.now(), signal(tank.speed));
  const newest = createNewest();
  const trouble = signal("");
  let connection: Connection | null = null;
  const asking = createAsking(
    (kind, text) => connection?.publish(`${topicOf(tank.tank, "request", kind)}/set`, text) ?? false,
  );
  const listener = {
    opened: () => {
      newest.opened();
      freshness.opened();
    },
    closed: () => freshness.closed(),
    told: (topic: string, text: string, retained: boolean) => {
      if (newest.isNews(topic, retained)) takeIn({ tank: tank.tank, values, freshness, asking }, topic, text, retained);
    },
  };
  const url = new URL(tank.mqttPath, location.href);
  url.protocol = url.protocol === "https:" ? "wss:" : "ws:";

  const open = (): void => {
    connect(url, `homie/5/${tank.tank}/#`, listener).then(
      (made) => {
        connection = made;
        trouble.value = "";
      },
      () => {
        trouble.value = "A part of this page could not be loaded; trying again.";
        window.setTimeout(open, RETRY_MS);
      },
    );
  };
  open();
  window.setInterval(() => freshness.tick(), TICK_MS);
  window.addEventListener("online", () => connection?.wake());
  document.addEventListener("visibilitychange", () => {
    freshness.tick();
    if (document.visibilityState === "visible") connection?.wake();
  });

  return {
    ...values,
    ...freshness,
    tank,
    trouble,
    ask: asking.ask,
    get isRehearsal() {
      return tank.water === "rehearsal" || values.text("box", "water") === "rehearsal";
    },
  };
}

const RETRY_MS = 3_000;
const TICK_MS = 500;

interface Takers {
  readonly tank: string;
  readonly values: Values;
  readonly freshness: Freshness;
  readonly asking: Asking;
}

function takeIn({ tank, values, freshness, asking }: Takers, topic: string, text: string, retained: boolean): void {
  if (!values.take(topic, text)) return;
  if (topic === `homie/5/${tank}/$state`) freshness.stateTold(text);
  else if (topic === topicOf(tank, "request", "outcome") && !retained) asking.outcomeTold(text);
  else if (topic === topicOf(tank, "box", "clock")) {
    const boxMs = readTimeMs(text);
    if (boxMs !== null) freshness.clockTold(boxMs, retained);
  }
}
