import type { AlarmWords, ScanRecord } from "../../shared/contract/index.ts";
import type { LastWill, MessageClient } from "./client.ts";
import { descriptionOf } from "./description.ts";
import { type TreeContext, treeOf } from "./homie.ts";
import { isNews } from "./news.ts";

/** Keeps the tree on the broker equal to the box, sending only what is news. */
export interface Publisher {
  /** `monotonicMs` only paces; the times that are told come with the context. */
  update(record: ScanRecord, context: Omit<TreeContext, "tank" | "alarms">, monotonicMs: number): void;
  /** Says that the box is gone on purpose. */
  goodbye(): void;
}

export interface PublisherOptions {
  readonly tank: string;
  /** Name for people. */
  readonly name: string;
  readonly alarms: readonly AlarmWords[];
}

/** What the broker says for us when we are gone without a word. */
export const lastWillOf = (tank: string): LastWill => ({ topic: stateTopic(tank), payload: "lost" });

const stateTopic = (tank: string): string => `homie/5/${tank}/$state`;

interface Sent {
  readonly text: string;
  readonly atMs: number;
}

export function createPublisher(client: MessageClient, options: PublisherOptions): Publisher {
  const { tank, name, alarms } = options;
  const description = descriptionOf(name, alarms);
  const sent = new Map<string, Sent>();
  let said: "nothing" | "init" | "ready" = "nothing";
  let over = false;
  const sayState = (state: "init" | "ready") => {
    if (client.publish(stateTopic(tank), state, true)) said = state;
  };
  // A broker that comes back may have forgotten everything, or have told everybody that we are lost.
  client.onConnect(() => {
    sent.clear();
    said = "nothing";
    sayState("init");
  });
  return {
    update(record, context, monotonicMs) {
      if (over || !client.connected()) return;
      if (said === "nothing") sayState("init");
      const tree = treeOf(record, { ...context, tank, alarms });
      // The description may change only before the box is ready, and stands before the values it describes.
      if (said === "init" && !client.publish(`homie/5/${tank}/$description`, description, true)) return;
      for (const [topic, text] of tree) {
        const before = sent.get(topic);
        if (before !== undefined && !isNews(topic, before.text, text, monotonicMs - before.atMs)) continue;
        if (client.publish(topic, text, true)) sent.set(topic, { text, atMs: monotonicMs });
      }
      if (said === "init" && sent.size === tree.size) sayState("ready");
    },
    goodbye() {
      over = true;
      client.publish(stateTopic(tank), "disconnected", true);
    },
  };
}
