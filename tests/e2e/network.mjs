/*
 * A bad network between the visitor and the site.
 *
 * In: HOSTWOOD_SITE; for each path what is to go wrong with it, and how often. Out: an origin of its own on the
 * loopback address that answers as the site does, but refuses, cuts, stalls, changes or mislabels what it was told to;
 * a list of everything that was asked. What the visitor then sees is left to the tests.
 */
import { createHash } from "node:crypto";
import { createServer } from "node:http";

/** The release's own files that are held against a digest, each before those that know its digest. */
const HELD = ["hostwood_engine_bg.wasm", "hostwood_engine.js", "hostwood-worker.js"];
const digest = (bytes) => createHash("sha384").update(bytes).digest("base64");

/**
 * Opens the network. `trusted` are the Trusted Types policies that pages may make.
 *
 * `when(ending, trouble)` is for paths with that ending. A trouble holds for `times` requests (without end if absent),
 * and is made of: `refuse` (the connection is closed), `status`, `headers` (over those of the site; null takes one
 * away), `text` (another body), `edit` (a function of the body's bytes), `cutAt` and `stallAt` (so many bytes come; a
 * cut comes `cutAfter` milliseconds later, so that they have been read),
 * `wait` (milliseconds before anything comes), `noRanges` (parts of a file are not to be had).
 */
export async function openNetwork(site, { trusted = "hostwood" } = {}) {
  const troubles = [];
  const asked = [];
  const sockets = new Set();
  let up = true;
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url, site);
    asked.push({ path: pathname, range: request.headers.range ?? null });
    const trouble = troubles.find(({ ending, left }) => pathname.endsWith(ending) && left > 0) ?? {};
    if (trouble.left !== undefined) trouble.left -= 1;
    answer(request, response, trouble).catch(() => response.destroy());
  });
  server.on("connection", (socket) => {
    if (!up) socket.destroy();
    sockets.add(socket);
    socket.on("close", () => sockets.delete(socket));
  });
  await new Promise((resolve) => {
    server.listen(0, "127.0.0.1", resolve);
  });

  async function answer(request, response, trouble) {
    if (trouble.refuse) {
      request.socket.destroy();
      return;
    }
    const upstream = await fetch(new URL(request.url, site), { headers: { "accept-encoding": "identity" } });
    let body = Buffer.from(await upstream.arrayBuffer());
    if (trouble.wait) await new Promise((resolve) => setTimeout(resolve, trouble.wait));
    if (trouble.text !== undefined) body = Buffer.from(trouble.text);
    if (trouble.edit) body = Buffer.from(trouble.edit(body));
    const headers = Object.fromEntries(upstream.headers);
    delete headers["transfer-encoding"];
    const policy = headers["content-security-policy"];
    if (policy)
      headers["content-security-policy"] = policy.replace(
        "trusted-types hostwood",
        `trusted-types ${trusted}`,
      );
    // The browser keeps nothing, so that every request is seen here.
    headers["cache-control"] = "no-store";
    headers["accept-ranges"] = trouble.noRanges ? null : "bytes";
    Object.assign(headers, trouble.headers);
    let status = trouble.status ?? upstream.status;
    const from = /^bytes=(\d+)-$/.exec(request.headers.range ?? "")?.[1];
    if (from !== undefined && status === 200 && !trouble.noRanges) {
      headers["content-range"] = `bytes ${from}-${body.length - 1}/${body.length}`;
      body = body.subarray(Number(from));
      status = 206;
    }
    headers["content-length"] = String(body.length);
    for (const [name, value] of Object.entries(headers)) if (value === null) delete headers[name];
    response.writeHead(status, headers);
    const part = trouble.cutAt ?? trouble.stallAt;
    if (part === undefined) {
      response.end(body);
      return;
    }
    response.write(body.subarray(0, part));
    if (trouble.cutAt !== undefined) setTimeout(() => request.socket.destroy(), trouble.cutAfter ?? 100);
  }

  /**
   * Serves another build of the release: some of its held files altered, and every digest that follows from it. `edits`
   * are functions of a file's bytes, by its name.
   */
  async function alter(edits) {
    const swaps = [];
    const swapped = (body) =>
      swaps.reduce((text, [before, now]) => text.replaceAll(before, now), body.toString());
    const altered = new Map();
    for (const name of HELD) {
      const body = Buffer.from(await (await fetch(new URL(`hostwood/${name}`, site))).arrayBuffer());
      const edited = Buffer.from(edits[name]?.(body) ?? body);
      const now = name.endsWith(".js") ? Buffer.from(swapped(edited)) : edited;
      if (digest(now) === digest(body)) continue;
      swaps.push([digest(body), digest(now)]);
      altered.set(name, now);
    }
    when(".js", { edit: swapped });
    for (const [name, now] of altered) when(`hostwood/${name}`, { edit: () => now });
  }

  function when(ending, trouble) {
    troubles.unshift({ ending, left: trouble.times ?? Number.POSITIVE_INFINITY, ...trouble });
  }

  return {
    alter,
    when,
    address: `http://127.0.0.1:${server.address().port}/`,
    asked,
    /** Everything is well again. */
    mend: () => {
      troubles.length = 0;
      up = true;
    },
    /** No connection is to be had, and those that are there end. */
    cut: () => {
      up = false;
      for (const socket of sockets) socket.destroy();
    },
    close: () => {
      for (const socket of sockets) socket.destroy();
      return new Promise((resolve) => {
        server.close(resolve);
      });
    },
  };
}
