/** Too many already wait. */
export class TooMany extends Error {
  override readonly name = "TooMany";
}

/**
 * Lets one job run at a time, in the order in which they came; at most so many wait. A job that nobody wants any more
 * by its turn is not begun: whoever leaves costs nothing.
 */
export function oneAtATime(mostWaiting: number) {
  let last: Promise<unknown> = Promise.resolve();
  let waiting = 0;
  return <Result>(job: () => Promise<Result>, signal: AbortSignal): Promise<Result> => {
    if (waiting >= mostWaiting) return Promise.reject(new TooMany());
    waiting += 1;
    const turn = last.then(() => {
      waiting -= 1;
      signal.throwIfAborted();
      return job();
    });
    last = turn.catch(() => undefined);
    return turn;
  };
}
