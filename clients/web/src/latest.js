/**
 * Asks for the newest wish only: waits until wishes stop coming, breaks off what an older one is
 * still waiting for, and hands over no answer but the last wish's.
 *
 * @template W, A
 */
export class Latest {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #underWay = new AbortController();

  /**
   * @param {(wish: W, signal: AbortSignal) => Promise<A>} act
   * @param {{answered: (answer: A, wish: W) => void, failed: (error: unknown, wish: W) => void}} tell
   * @param {number} quiet_ms How long wishes must have stopped coming.
   */
  constructor(act, tell, quiet_ms = 250) {
    this.act = act;
    this.tell = tell;
    this.quiet_ms = quiet_ms;
  }

  /** @param {W} wish */
  soon(wish) {
    this.drop();
    this.#timer = setTimeout(() => void this.now(wish), this.quiet_ms);
  }

  /** @param {W} wish */
  async now(wish) {
    this.drop();
    const own = this.#underWay;
    try {
      const answer = await this.act(wish, own.signal);
      if (!own.signal.aborted) this.tell.answered(answer, wish);
    } catch (error) {
      if (!own.signal.aborted) this.tell.failed(error, wish);
    }
  }

  /** Forget every wish that has no answer yet. */
  drop() {
    clearTimeout(this.#timer);
    this.#underWay.abort();
    this.#underWay = new AbortController();
  }
}
