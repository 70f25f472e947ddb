// The target of an arrow key on the flowsheet: along the streams, or to the item beside.

/**
 * items: by key, each with `kind`, `onward` and `back` (keys).
 * came: the key one was at before, so that a way can be gone back as it was come.
 * Returns the key to go to; the same key where there is no way on.
 */
export function step(items, key, arrow, came) {
  const item = items.get(key);
  switch (arrow) {
    case "ArrowDown":
      return along(item.onward, came) ?? key;
    case "ArrowUp":
      return along(item.back, came) ?? key;
    case "ArrowRight":
      return beside(items, item, came, 1);
    default:
      return beside(items, item, came, -1);
  }
}

function along(ways, came) {
  return ways.includes(came) ? came : ways[0];
}

/** The next stream of the same machine, or the next feed, machine or product of the plant. */
function beside(items, item, came, by) {
  let row;
  if (item.kind === "stream") {
    const end = item.onward[0] === came ? items.get(came).back : items.get(item.back[0]).onward;
    row = end;
  } else {
    row = [...items.values()].filter((other) => other.kind !== "stream").map((other) => other.key);
  }
  return row[(row.indexOf(item.key) + by + row.length) % row.length];
}
