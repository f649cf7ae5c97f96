/**
 * The element over the whole screen, and back.
 *
 * In: the element, and the visitor's wish. Out: the browser's own full screen where it can be had; else the element is
 * laid over the page by the state `full`, which the styles know. Escape leaves either; the focus stays where it is, and
 * an overlay ends when the focus goes on to the page behind it. Left to others: the button and its words (screen.ts).
 */

/** Whether the part of the page that a node stands in fills the screen. */
export function fillsScreen(node: Node): boolean {
  const root = node.getRootNode();
  return root instanceof ShadowRoot && isFull(root.host);
}

function isFull(host: Element): boolean {
  return host.matches(":fullscreen") || (hasStates() && host.matches(":state(full)"));
}

/** Whether the browser knows states of custom elements, which carry the overlay. */
function hasStates(): boolean {
  return CSS.supports("selector(:state(full))");
}

/** One element's full screen. */
export class FullScreen {
  readonly #host: HTMLElement;
  readonly #states: CustomStateSet;
  readonly #changed: () => void;
  #watching: AbortController | null = null;

  constructor(host: HTMLElement, internals: ElementInternals, changed: () => void) {
    this.#host = host;
    this.#states = internals.states;
    this.#changed = changed;
  }

  /** Whether the element fills the screen now. */
  get on(): boolean {
    return isFull(this.#host);
  }

  /** Whether it can. */
  get possible(): boolean {
    return this.#native || hasStates();
  }

  get #native(): boolean {
    return document.fullscreenEnabled && typeof this.#host.requestFullscreen === "function";
  }

  /** Listens from now on. */
  watch(): void {
    this.#watching?.abort();
    const watching = new AbortController();
    this.#watching = watching;
    const listen = { signal: watching.signal };
    this.#host.addEventListener("fullscreenchange", this.#changed, listen);
    // Before anything within closes itself: Escape leaves the full screen first, as the browser's own does.
    this.#host.addEventListener(
      "keydown",
      (event) => {
        if (event.key !== "Escape" || !this.#overlaid) return;
        event.preventDefault();
        event.stopPropagation();
        this.#lay(false);
      },
      { ...listen, capture: true },
    );
    this.#host.addEventListener(
      "focusout",
      (event) => {
        if (event.relatedTarget !== null && this.#overlaid) this.#lay(false);
      },
      listen,
    );
  }

  /** Fills the screen, or gives it back. */
  async toggle(): Promise<void> {
    if (this.#overlaid) {
      this.#lay(false);
    } else if (this.on) {
      await document.exitFullscreen();
    } else if (!(await this.#asked())) {
      this.#lay(true);
    }
  }

  /** Gives the screen back and listens no more. */
  close(): void {
    this.#watching?.abort();
    this.#watching = null;
    if (this.#overlaid) this.#states.delete("full");
  }

  /** Whether the browser gave its own full screen; a page or a frame may be refused it. */
  async #asked(): Promise<boolean> {
    if (!this.#native) return false;
    try {
      await this.#host.requestFullscreen();
      return true;
    } catch (error) {
      console.warn(
        "hostwood: the browser gives no full screen; the map is laid over the page instead",
        error,
      );
      return false;
    }
  }

  get #overlaid(): boolean {
    return hasStates() && this.#host.matches(":state(full)");
  }

  #lay(over: boolean): void {
    if (!hasStates()) return;
    if (over) this.#states.add("full");
    else this.#states.delete("full");
    this.#changed();
  }
}
