'use strict';
// Shapes for the printed map, and fillings that need no colour.
seasonMap.part(() => {
  const LEAST_STEP_PX = 0.35; // vertices nearer to the one before are left out
  const LINE_PX = 0.8;
  const DOT_PX = 0.9;

  // The vertices of a line on paper, and the box they lie in.
  function projected(view, line) {
    const box = { left: Infinity, top: Infinity, right: -Infinity, bottom: -Infinity };
    const points = line.map(([latitude, longitude]) => {
      const [x, y] = [view.x(longitude), view.y(latitude)];
      box.left = Math.min(box.left, x);
      box.top = Math.min(box.top, y);
      box.right = Math.max(box.right, x);
      box.bottom = Math.max(box.bottom, y);
      return [x, y];
    });
    return { points, box };
  }

  const isSeen = (box, view) => box.right >= 0 && box.left <= view.width && box.bottom >= 0 && box.top <= view.height;

  function trace(path, points, isClosed) {
    let [beforeX, beforeY] = [Infinity, Infinity];
    points.forEach(([x, y], at) => {
      const isLast = at === points.length - 1;
      if (!isLast && at > 0 && Math.abs(x - beforeX) + Math.abs(y - beforeY) < LEAST_STEP_PX) return;
      if (at === 0) path.moveTo(x, y); else path.lineTo(x, y);
      [beforeX, beforeY] = [x, y];
    });
    if (isClosed) path.closePath();
  }

  // lines: each [[latitude, longitude] ...]; closed ones are the rings of an area. Those out of sight are left out.
  function shape(view, lines, isClosed) {
    const path = new Path2D();
    const whole = { left: Infinity, top: Infinity, right: -Infinity, bottom: -Infinity };
    for (const line of lines) {
      const { points, box } = projected(view, line);
      if (isSeen(box, view)) trace(path, points, isClosed);
      for (const side of ['left', 'top']) whole[side] = Math.min(whole[side], box[side]);
      for (const side of ['right', 'bottom']) whole[side] = Math.max(whole[side], box[side]);
    }
    return { path, box: whole, size: Math.max(whole.right - whole.left, whole.bottom - whole.top) };
  }

  const isInFrame = ({ box }, view) => isSeen(box, view);

  // The part of a shape's box that can be seen, so that a large shape costs no more than the frame.
  function seenBox({ box }, view) {
    return [Math.max(0, box.left), Math.max(0, box.top), Math.min(view.width, box.right), Math.min(view.height, box.bottom)];
  }

  function within(context, { path }, draw) {
    context.save();
    context.clip(path, 'evenodd');
    draw();
    context.restore();
  }

  // Slanted lines, rising to the right or falling. They run on from shape to shape, as if one sheet lay under all.
  function hatch(context, view, shape, colour, apart, isRising) {
    const [left, top, right, bottom] = seenBox(shape, view);
    const [first, last] = isRising ? [left + top, right + bottom] : [left - bottom, right - top];
    Object.assign(context, { strokeStyle: colour, lineWidth: LINE_PX });
    within(context, shape, () => {
      context.beginPath();
      for (let line = Math.ceil(first / apart) * apart; line <= last; line += apart) {
        context.moveTo(isRising ? line - top : line + top, top);
        context.lineTo(isRising ? line - bottom : line + bottom, bottom);
      }
      context.stroke();
    });
  }

  function dots(context, view, shape, colour, apart) {
    const [left, top, right, bottom] = seenBox(shape, view);
    context.fillStyle = colour;
    within(context, shape, () => {
      context.beginPath();
      for (let row = Math.floor(top / apart); row * apart <= bottom; row += 1) {
        for (let x = Math.floor(left / apart) * apart + (row % 2) * (apart / 2); x <= right; x += apart) {
          context.moveTo(x + DOT_PX, row * apart);
          context.arc(x, row * apart, DOT_PX, 0, 2 * Math.PI);
        }
      }
      context.fill();
    });
  }

  seasonMap.paperInk = { shape, isInFrame, hatch, dots };
});
