/**
 * The text of the book: the one truth on the page, with its history.
 *
 * In: a text to begin with, changes from the form, mistakes to be marked. Out: the editor, a word on each change, undo
 * and redo over changes from form and text alike. The editor stands in a shadow root, where its styles are adopted
 * sheets, as a strict content policy asks. Left to others: what the text means (reading.ts, the engine), hints
 * (hints.ts).
 */
import {
  defaultKeymap,
  history,
  historyKeymap,
  redo,
  redoDepth,
  undo,
  undoDepth,
} from "@codemirror/commands";
import { json } from "@codemirror/lang-json";
import {
  bracketMatching,
  codeFolding,
  foldEffect,
  foldGutter,
  foldKeymap,
  HighlightStyle,
  indentOnInput,
  indentUnit,
  syntaxHighlighting,
} from "@codemirror/language";
import { lintGutter, setDiagnostics, type Diagnostic } from "@codemirror/lint";
import { search, searchKeymap } from "@codemirror/search";
import { EditorState, Transaction } from "@codemirror/state";
import { drawSelection, EditorView, keymap, lineNumbers } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import { make } from "../element/make.ts";
import { hints } from "./hints.ts";
import type { Change } from "./reading.ts";

/** A stretch of the text with what is wrong there. */
export interface Mark {
  from: number;
  to: number;
  severity: "error" | "warning";
  message: string;
}

const LOOK = EditorView.theme({
  "&": { height: "100%", fontSize: "0.8125rem", backgroundColor: "var(--raised)", color: "var(--ink)" },
  "&.cm-focused": { outline: "2px solid var(--accent)", outlineOffset: "-2px" },
  ".cm-scroller": {
    fontFamily: 'ui-monospace, "Cascadia Mono", Consolas, monospace',
    lineHeight: "1.5",
    overflow: "auto",
  },
  ".cm-content": { caretColor: "var(--ink)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": {
    backgroundColor: "var(--page)",
    color: "var(--soft)",
    borderRight: "1px solid var(--rule)",
  },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    backgroundColor: "var(--chosen)",
  },
  ".cm-tooltip": {
    backgroundColor: "var(--raised)",
    color: "var(--ink)",
    border: "1px solid var(--soft)",
    maxWidth: "34rem",
  },
  ".meaning, .cm-completionInfo": { padding: "0.3rem 0.6rem" },
  ".meaning p": { margin: "0.2rem 0 0" },
  ".cm-tooltip-autocomplete > ul > li": { padding: "0.15rem 0.5rem" },
  ".cm-tooltip-autocomplete > ul > li[aria-selected]": {
    backgroundColor: "var(--chosen)",
    color: "var(--ink)",
  },
  ".cm-panels": { backgroundColor: "var(--page)", color: "var(--ink)" },
  ".cm-panels button, .cm-panels input": {
    font: "inherit",
    color: "var(--ink)",
    backgroundColor: "var(--raised)",
    backgroundImage: "none",
    border: "1px solid var(--soft)",
    minHeight: "28px",
  },
  ".cm-foldPlaceholder": {
    backgroundColor: "var(--page)",
    border: "1px solid var(--rule)",
    color: "var(--soft)",
  },
  // Marks are letters: the pictures they come with are addresses that a strict content policy refuses.
  ".cm-lint-marker-error, .cm-lint-marker-warning": { content: "normal" },
  ".cm-lint-marker-error::after": { content: '"!"', color: "var(--danger)", fontWeight: "700" },
  ".cm-lint-marker-warning::after": { content: '"?"', color: "var(--accent)", fontWeight: "700" },
  ".cm-lintRange-error": {
    backgroundImage: "none",
    textDecoration: "underline wavy var(--danger) 1.5px",
    textUnderlineOffset: "3px",
  },
  ".cm-lintRange-warning": {
    backgroundImage: "none",
    textDecoration: "underline wavy var(--accent) 1.5px",
    textUnderlineOffset: "3px",
  },
});

const INKS = HighlightStyle.define([
  { tag: tags.propertyName, color: "var(--field)" },
  { tag: tags.string, color: "var(--ink)" },
  { tag: [tags.number, tags.bool, tags.null], color: "var(--accent)" },
  { tag: tags.punctuation, color: "var(--soft)" },
]);

/** The editor. */
export class BookText {
  readonly #view: EditorView;

  /**
   * @param host the element in whose shadow root the editor stands
   * @param changed called after each change of the text
   */
  constructor(host: HTMLElement, changed: () => void) {
    const root = host.attachShadow({ mode: "open" });
    const room = make("div", { class: "room" });
    const base = new CSSStyleSheet();
    base.replaceSync(":host { display: block; overflow: hidden; } .room { block-size: 100%; }");
    root.adoptedStyleSheets = [base];
    root.append(room);
    this.#view = new EditorView({
      root,
      parent: room,
      state: EditorState.create({
        extensions: [
          lineNumbers(),
          foldGutter(),
          codeFolding(),
          lintGutter(),
          history(),
          drawSelection(),
          indentOnInput(),
          indentUnit.of("  "),
          bracketMatching(),
          json(),
          syntaxHighlighting(INKS),
          search({ top: true }),
          hints(),
          EditorView.lineWrapping,
          EditorView.contentAttributes.of({
            "aria-label": "Text of the rule book",
            spellcheck: "false",
            autocapitalize: "off",
            tabindex: "0",
          }),
          keymap.of([...defaultKeymap, ...historyKeymap, ...searchKeymap, ...foldKeymap]),
          LOOK,
          EditorView.updateListener.of((update) => {
            if (update.docChanged) changed();
          }),
        ],
      }),
    });
  }

  /** The whole text. */
  get text(): string {
    return this.#view.state.doc.toString();
  }

  /** Whether there is a change to take back, and one to make again. */
  get steps(): { undo: boolean; redo: boolean } {
    const { state } = this.#view;
    return { undo: undoDepth(state) > 0, redo: redoDepth(state) > 0 };
  }

  /**
   * Puts another text in the place of this one, as one change. It can be taken back, unless it is what the page begins
   * with.
   */
  replace(text: string): void {
    const { length } = this.#view.state.doc;
    this.#view.dispatch({
      changes: { from: 0, to: length, insert: text },
      ...(length === 0 ? { annotations: Transaction.addToHistory.of(false) } : {}),
    });
  }

  /** Folds these stretches away; what is folded opens on a press. */
  fold(stretches: readonly { from: number; to: number }[]): void {
    this.#view.dispatch({ effects: stretches.map((stretch) => foldEffect.of(stretch)) });
  }

  /** Makes changes that the form asks for. */
  change(changes: Change[]): void {
    if (changes.length > 0) this.#view.dispatch({ changes, userEvent: "input.form" });
  }

  /** Takes the last change back. */
  undo(): void {
    undo(this.#view);
  }

  /** Makes again what was taken back. */
  redo(): void {
    redo(this.#view);
  }

  /** Marks these stretches and no others. */
  mark(marks: readonly Mark[]): void {
    const end = this.#view.state.doc.length;
    const diagnostics: Diagnostic[] = marks.map(({ from, to, severity, message }) => ({
      from: Math.min(from, end),
      to: Math.min(Math.max(to, from), end),
      severity,
      message,
    }));
    this.#view.dispatch(setDiagnostics(this.#view.state, diagnostics));
  }

  /** Shows a place of the text and puts the cursor there. */
  goTo(offset: number): void {
    const at = Math.min(offset, this.#view.state.doc.length);
    this.#view.dispatch({
      selection: { anchor: at },
      effects: EditorView.scrollIntoView(at, { y: "center" }),
    });
    this.#view.focus();
  }
}
