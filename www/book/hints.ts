/**
 * Hints in the text: what a field or word means under the pointer, and what may be written at the cursor.
 *
 * In: the text of the editor. Out: extensions of the editor that show meanings and offers. Ctrl and space ask for
 * offers. Left to others: meanings and offers (meaning.ts).
 */
import { autocompletion, type CompletionContext, type CompletionResult } from "@codemirror/autocomplete";
import type { Extension } from "@codemirror/state";
import { hoverTooltip } from "@codemirror/view";
import { make } from "../element/make.ts";
import { meaningAt, offersAt } from "./meaning.ts";
import { read } from "./reading.ts";

/** Offers while the officer writes, and on asking. */
function offers(context: CompletionContext): CompletionResult | null {
  const found = offersAt(read(context.state.doc.toString()), context.pos);
  // Unasked, nothing is offered between the fields: only where a word has been begun.
  if (found === null || (found.from === context.pos && !context.explicit)) return null;
  return {
    from: found.from,
    options: found.offers.map(({ word, about, insert }) => ({ label: word, info: about, apply: insert })),
    validFor: /^[\w:/-]*$/,
  };
}

/** The editor's extensions. */
export function hints(): Extension {
  return [
    autocompletion({ override: [offers], icons: false }),
    hoverTooltip((view, offset) => {
      const meaning = meaningAt(read(view.state.doc.toString()), offset);
      if (meaning === null) return null;
      const { from, to, name, about, words } = meaning;
      return {
        pos: from,
        end: to,
        above: true,
        create: () => ({
          dom: make(
            "div",
            { class: "meaning" },
            make("strong", {}, name),
            make("p", {}, about),
            words.length === 0 ? null : make("p", {}, `One of: ${words.join(", ")}`),
          ),
        }),
      };
    }),
  ];
}
