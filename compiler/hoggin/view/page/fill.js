// Replaces a part of the page while somebody reads it: selection, focus and scrolling stay.

/** Put HTML into an element. The focus, and how far its tables are scrolled, stay as they were; where
 * what had the focus is gone, the heading of its part has it. */
export function fill(holder, text) {
  const focused = holder.contains(document.activeElement) ? document.activeElement : null;
  const heading = focused?.closest("[aria-labelledby]")?.getAttribute("aria-labelledby");
  const name = focused && nameOf(focused);
  const place = focused && namesakes(holder, name).indexOf(focused);
  const scrolled = new Map(regions(holder).map((one) => [labelOf(one), [one.scrollLeft, one.scrollTop]]));
  holder.innerHTML = text;
  for (const one of regions(holder)) one.scrollTo(...(scrolled.get(labelOf(one)) ?? [0, 0]));
  if (!focused) return;
  const again = namesakes(holder, name)[place] ?? document.getElementById(heading);
  again?.focus({ preventScroll: true });
}

function regions(holder) {
  return [...holder.querySelectorAll(".scroll")];
}

function labelOf(region) {
  return region?.getAttribute("aria-label") ?? "";
}

/** What tells something that can have the focus from the others; a few may share it. */
function nameOf(element) {
  const table = labelOf(element.closest(".scroll"));
  return [table, element.tagName, element.id, element.dataset.key].join("\n");
}

function namesakes(holder, name) {
  const all = holder.querySelectorAll("button, [tabindex]");
  return [...all].filter((element) => nameOf(element) === name);
}
