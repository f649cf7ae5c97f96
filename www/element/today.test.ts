/**
 * Today where the forest is, as an ISO day in every browser.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { today } from "./today.ts";

test("today does not hang on how a browser writes dates", (told) => {
  // Seen in WebKitGTK 2.50.6: dates in Canadian English, year first elsewhere, were written month first.
  told.mock.method(Intl.DateTimeFormat.prototype, "formatToParts", () => [
    { type: "month", value: "09" },
    { type: "literal", value: "/" },
    { type: "day", value: "12" },
    { type: "literal", value: "/" },
    { type: "year", value: "2026" },
  ]);
  Object.defineProperty(Intl.DateTimeFormat.prototype, "format", {
    configurable: true,
    get: () => () => "09/12/2026",
  });
  assert.equal(today("Europe/Vienna", new Date("2026-09-12T10:00:00Z")), "2026-09-12");
});
