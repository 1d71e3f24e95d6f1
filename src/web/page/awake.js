// Keeps the phone's screen on during the walk, where the browser allows it.

export class Awake {
  constructor(onchange) {
    this.onchange = onchange;
    this.lock = null;
    this.refused = "";
    this.wanted = false;
    this.back = () => { if (!document.hidden) this.take(); };  // the lock is lost while the page is hidden
  }

  /** Why the screen may go off, in words; "" where it can be kept on. */
  get why() {
    if (this.refused) return this.refused;
    if ("wakeLock" in navigator) return "";
    return window.isSecureContext
      ? "This browser can't keep the screen on. Set the phone's screen time-out to its longest for the walk."
      : "The screen may go off: browsers keep it on only for pages over HTTPS, and this one comes over plain HTTP. " +
        "Set the phone's screen time-out to its longest for the walk.";
  }

  start() {
    if (this.wanted || !("wakeLock" in navigator)) return;
    this.wanted = true;
    document.addEventListener("visibilitychange", this.back);
    this.take();
  }

  async take() {
    if (!this.wanted || this.lock) return;
    try {
      const lock = await navigator.wakeLock.request("screen");
      if (!this.wanted) { lock.release(); return; }
      this.lock = lock;
      this.refused = "";
      lock.addEventListener("release", () => { if (this.lock === lock) this.lock = null; });
    } catch (error) {
      // The phone may refuse to save its battery; a page in the background is refused too.
      if (document.hidden) return;
      this.refused = "The phone does not let this page keep the screen on (it may be saving its battery).";
      this.onchange();
    }
  }

  stop() {
    this.wanted = false;
    document.removeEventListener("visibilitychange", this.back);
    if (this.lock) this.lock.release();
    this.lock = null;
  }
}
