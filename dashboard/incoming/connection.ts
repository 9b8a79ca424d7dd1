/** A connection to the broker as the page sees it. Whoever is behind it reconnects by itself. */
export interface Connection {
  /** False when there is no connection; then nothing was sent and nothing will be. */
  publish(topic: string, text: string): boolean;
  /** Try again now instead of at the next interval: the page has become visible, or the network came back. */
  wake(): void;
  close(): void;
}

export interface Listener {
  opened(): void;
  closed(): void;
  told(topic: string, text: string, retained: boolean): void;
}
