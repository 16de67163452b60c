// Time that runs faster than the clock, while a bleeder is open.

/** A frame that comes later, s, counts no more than this: who looks away does not flood the shop. */
const MOST_S = 0.25;
/** Who wants no motion sees a new picture so often, s. */
export const STEP_S = 1;

export interface Clock {
  /** Runs until `stop`. Calls with seconds gone since the last call. */
  begin(tick: (seconds: number) => void): void;
  /** What has gone since the last tick, s. */
  rest(): number;
  stop(): void;
}

/** In frames, or in steps of a second for those who want no motion. */
export function clock(still: () => boolean): Clock {
  let last = 0;
  let frame: number | undefined;
  let timer: ReturnType<typeof setInterval> | undefined;
  const since = (most: number): number => {
    const at = performance.now();
    const gone = Math.min(most, (at - last) / 1000);
    last = at;
    return gone;
  };
  let most = MOST_S;
  const stop = () => {
    if (frame !== undefined) cancelAnimationFrame(frame);
    clearInterval(timer);
    [frame, timer] = [undefined, undefined];
  };
  return {
    begin(tick) {
      stop();
      last = performance.now();
      const slow = still();
      most = slow ? STEP_S + MOST_S : MOST_S;
      if (slow) {
        timer = setInterval(() => tick(since(most)), 1000 * STEP_S);
        return;
      }
      const run = () => {
        frame = requestAnimationFrame(run);
        tick(since(most));
      };
      frame = requestAnimationFrame(run);
    },
    rest: () => since(most),
    stop,
  };
}
