/** What the rest of the house knows of MQTT. */
export interface MessageClient {
  /**
   * Hands a message over; an empty payload with `retain` clears the topic. False = it was not taken (no connection, or
   * too much is on its way) and is not queued: what is published is always the newest, never a backlog.
   */
  publish(topic: string, payload: string, retain: boolean): boolean;
  subscribe(filter: string, take: (message: ArrivedMessage) => void): void;
  /** Called at every connection, at once if there is one: whatever was published before may be lost. */
  onConnect(listener: () => void): void;
  connected(): boolean;
  /**
   * True where a message that its sender marked *retained* shows it. Otherwise only those that lay on the broker before
   * the connection do.
   */
  readonly showsRetained: boolean;
  close(): Promise<void>;
}

export interface ArrivedMessage {
  readonly topic: string;
  readonly payload: string;
  readonly retained: boolean;
  /** Its sender has asked more than is let through. */
  readonly tooMany?: boolean;
}

/** What a broker tells everybody when this client is gone without saying so. */
export interface LastWill {
  readonly topic: string;
  readonly payload: string;
}

/** Whether a topic is meant by a filter with `+` for one level and `#` for the rest (MQTT 3.1.1, section 4.7). */
export function topicMatches(filter: string, topic: string): boolean {
  const [wanted, levels] = [filter.split("/"), topic.split("/")];
  for (const [index, part] of wanted.entries()) {
    if (part === "#") return true;
    if (index >= levels.length || (part !== "+" && part !== levels[index])) return false;
  }
  return wanted.length === levels.length;
}
