'use strict';
// Room for names: of those that would lie on one another at a zoom, the ones that matter less stay away.
seasonMap.part(() => {
  const SQUARE_PX = 128; // boxes are looked up by the squares they lie in, so that ten thousand names take no time

  const { overlap } = seasonMap.standing;

  function squaresOf({ left, top, right, bottom }) {
    const found = [];
    for (let column = Math.floor(left / SQUARE_PX); column * SQUARE_PX < right; column += 1) {
      for (let row = Math.floor(top / SQUARE_PX); row * SQUARE_PX < bottom; row += 1) found.push(`${column} ${row}`);
    }
    return found;
  }

  // things: those that matter most first, each {boxes, isFixed}: the boxes it may lie in, the best first; what is fixed
  // lies in its first whatever was there before. Returns for each the number of its box, or -1 where there is no room.
  seasonMap.labelRoom = (things) => {
    const squares = new Map();
    const isFree = (box) => squaresOf(box).every((square) => (squares.get(square) || []).every((other) => !overlap(box, other)));
    function take(box) {
      for (const square of squaresOf(box)) {
        if (!squares.has(square)) squares.set(square, []);
        squares.get(square).push(box);
      }
    }
    return things.map(({ boxes, isFixed }) => {
      const chosen = isFixed ? 0 : boxes.findIndex(isFree);
      if (chosen >= 0) take(boxes[chosen]);
      return chosen;
    });
  };
});
