/** A wait that can be cut short, once and for all, when what waits is closed. */
export interface Pause {
  for(ms: number): Promise<void>;
  readonly isOver: boolean;
  /** Ends the wait that is under way, and lets none begin any more. */
  end(): void;
}

export function createPause(): Pause {
  let isOver = false;
  let wake: () => void = () => undefined;
  return {
    for: (ms) =>
      isOver
        ? Promise.resolve()
        : new Promise((resolve) => {
            const timer = setTimeout(resolve, ms);
            wake = () => {
              clearTimeout(timer);
              resolve();
            };
          }),
    get isOver() {
      return isOver;
    },
    end() {
      isOver = true;
      wake();
    },
  };
}
