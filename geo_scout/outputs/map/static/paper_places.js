'use strict';
// Finds room on the printed map: labels go where they cover least of what is there already.
seasonMap.part(() => {
  const OUTSIDE_COST = 50; // per pixel that would be cut off
  const CROSSED_COST = 150; // for a line that runs under another label

  const overlap = (one, other) => Math.max(0, Math.min(one.right, other.right) - Math.max(one.left, other.left))
    * Math.max(0, Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top));
  const contains = (box, [x, y]) => x > box.left && x < box.right && y > box.top && y < box.bottom;
  const PARTS = [0.3, 0.5, 0.7, 0.9];

  seasonMap.paperBox = ([x, y], width, height) => ({ left: x - width / 2, right: x + width / 2, top: y - height / 2, bottom: y + height / 2 });

  seasonMap.paperPlaces = (view) => {
    const taken = []; // {box, weight, isLabel}

    const outside = (box) => Math.max(0, view.safe.left - box.left) + Math.max(0, box.right - view.safe.right)
      + Math.max(0, view.safe.top - box.top) + Math.max(0, box.bottom - view.safe.bottom);

    // line: [from, to], drawn from the place to its label
    function cost({ box, line, away }) {
      let sum = away + OUTSIDE_COST * outside(box);
      for (const one of taken) {
        sum += one.weight * overlap(box, one.box);
        if (!line || !one.isLabel) continue;
        const [[x0, y0], [x1, y1]] = line;
        if (PARTS.some((part) => contains(one.box, [x0 + part * (x1 - x0), y0 + part * (y1 - y0)]))) sum += CROSSED_COST;
      }
      return sum;
    }

    return {
      take: (box, weight, isLabel = false) => taken.push({ box, weight, isLabel }),
      // candidates: {box, line, away}; what is nearest to its place should cost least by itself
      best(candidates) {
        let [found, least] = [candidates[0], Infinity];
        for (const candidate of candidates) {
          const sum = cost(candidate);
          if (sum < least) [found, least] = [candidate, sum];
        }
        taken.push({ box: found.box, weight: 4, isLabel: true });
        return found;
      },
      // The first of the boxes that covers nothing and is not cut off, or null.
      free(candidates) {
        const found = candidates.find(({ box }) => outside(box) === 0 && taken.every((one) => overlap(box, one.box) === 0));
        if (found) taken.push({ box: found.box, weight: 4, isLabel: true });
        return found || null;
      },
    };
  };
});
