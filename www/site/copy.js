/*
 * A button that copies what stands in a block of code.
 *
 * In: the blocks of the page. Out: a button below each, which says that it was done.
 */
for (const block of document.querySelectorAll("pre")) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "copy";
  button.textContent = "Copy";
  const said = document.createElement("span");
  said.setAttribute("role", "status");
  said.className = "copied";
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(`${block.textContent.trim()}\n`);
      said.textContent = "Copied.";
    } catch {
      // A browser may refuse; the text is then selected, so that one key copies it.
      getSelection().selectAllChildren(block);
      said.textContent = "Selected: copy it with your keyboard.";
    }
  });
  block.after(button, said);
}
