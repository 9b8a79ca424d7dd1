/**
 * A broker hands out its kept words to whoever subscribes while live ones are already on their way, so that an old word
 * may come after the new one. Since a connection was opened, what came live is newer than anything kept.
 */
export interface Newest {
  opened(): void;
  /** False = it is older than what came before it. */
  isNews(topic: string, retained: boolean): boolean;
}

export function createNewest(): Newest {
  const live = new Set<string>();
  return {
    opened: () => live.clear(),
    isNews(topic, retained) {
      if (retained) return !live.has(topic);
      if (live.size < MOST_TOPICS) live.add(topic);
      return true;
    },
  };
}

/** More than a tank has; what somebody else sends must not fill the page. */
const MOST_TOPICS = 2_000;
