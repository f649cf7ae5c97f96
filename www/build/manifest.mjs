/*
 * The custom elements manifest of the element, for editors and documentation tools.
 *
 * In: the table surface.json, in which everything that a page's author can use has its row. Out: the manifest as an
 * object, after version 2.1.0 of its schema (webcomponents/custom-elements-manifest). Left to others: holding the table
 * against the code (element/surface.test.ts), writing the file (bundle.mjs).
 */

/** The module of the package that defines the element. */
const MODULE = "hostwood.js";

/** The manifest. `surface` is the table, `summary` what the element is in one sentence. */
export function manifestOf(surface) {
  const { tag, class: name, summary } = surface;
  const described = ({ name, text }) => ({ name, description: text });
  const mirrored = surface.attributes.map(({ name, type, text }) => ({
    kind: "field",
    name: propertyOf(name),
    type: { text: type },
    description: text,
    attribute: name,
    reflects: true,
  }));
  const fields = surface.properties.map(({ name, type, readonly, text }) => ({
    kind: "field",
    name,
    type: { text: type },
    description: text,
    ...(readonly ? { readonly } : {}),
  }));
  const methods = surface.methods.map(({ name, parameters, returns, text }) => ({
    kind: "method",
    name,
    description: text,
    parameters: parameters.map(({ name, type, default: value }) => ({
      name,
      type: { text: type },
      ...(value === undefined ? {} : { default: value, optional: true }),
    })),
    return: { type: { text: returns } },
  }));
  const declaration = {
    kind: "class",
    customElement: true,
    name,
    tagName: tag,
    summary,
    superclass: { name: "HTMLElement" },
    attributes: surface.attributes.map(({ name, type, text }) => ({
      name,
      type: { text: type },
      description: text,
      fieldName: propertyOf(name),
    })),
    // The platform's own property mirrors `lang`.
    members: [...mirrored.filter((field) => field.name !== "lang"), ...fields, ...methods],
    events: surface.events.map(({ name, type, text }) => ({ name, type: { text: type }, description: text })),
    slots: surface.slots.map(described),
    cssParts: surface.parts.map(described),
    cssProperties: surface.customProperties.map(({ name, default: value, text }) => ({
      name,
      default: value,
      description: text,
    })),
  };
  const reference = { name, module: MODULE };
  return {
    schemaVersion: "2.1.0",
    modules: [
      {
        kind: "javascript-module",
        path: MODULE,
        declarations: [declaration],
        exports: [
          { kind: "js", name, declaration: reference },
          { kind: "custom-element-definition", name: tag, declaration: reference },
        ],
      },
    ],
  };
}

function propertyOf(attribute) {
  return attribute.replace(/-(\w)/g, (_, letter) => letter.toUpperCase());
}
