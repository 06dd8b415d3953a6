'use strict';
// What share of an outline's area lies in a circle: both on a plane around its centre on which areas are true.
seasonMap.part(() => {
  const { geodesicCircle } = seasonMap;
  const { A_M, F, rad, wrapped } = seasonMap.geodesy;
  const E2 = F * (2 - F);
  const E = Math.sqrt(E2);
  const CORNERS = 1440; // the sides of such a polygon run within 5 cm of a circle of 20 km

  // Latitudes on a sphere with the ellipsoid's area (Snyder 1987, USGS Professional Paper 1395, equations 3-11 and 3-12).
  const q = (sine) => (1 - E2) * (sine / (1 - E2 * sine ** 2) + Math.atanh(E * sine) / E);
  const AT_POLE = q(1);
  const RADIUS_M = A_M * Math.sqrt(AT_POLE / 2);
  const authalic = (latitude_deg) => Math.asin(q(Math.sin(rad(latitude_deg))) / AT_POLE);

  // Lambert's azimuthal equal-area projection of that sphere [m].
  function planeAround({ latitude_deg, longitude_deg }) {
    const middle = authalic(latitude_deg);
    const [sin0, cos0] = [Math.sin(middle), Math.cos(middle)];
    return ([latitude, longitude]) => {
      const [beta, east] = [authalic(latitude), rad(wrapped(longitude - longitude_deg))];
      const [sine, cosine] = [Math.sin(beta), Math.cos(beta)];
      const scale = RADIUS_M * Math.sqrt(2 / (1 + sin0 * sine + cos0 * cosine * Math.cos(east)));
      return [scale * cosine * Math.sin(east), scale * (cos0 * sine - sin0 * cosine * Math.cos(east))];
    };
  }

  function area(ring) {
    let sum = 0;
    ring.forEach(([x, y], index) => {
      const [x0, y0] = ring[(index + ring.length - 1) % ring.length];
      sum += x0 * y - x * y0;
    });
    return Math.abs(sum) / 2;
  }

  // Cuts a ring along each side of a convex one in turn (Sutherland & Hodgman 1974, Communications of the ACM 17: 32-42).
  // Pieces stay joined by lines of no width, which have no area.
  function cut(ring, convex) {
    return convex.reduce((left, [x1, y1], index) => {
      const [x2, y2] = convex[(index + 1) % convex.length];
      const within = ([x, y]) => (y2 - y1) * (x - x1) - (x2 - x1) * (y - y1); // clockwise: inside is at the right
      const kept = [];
      let before = left[left.length - 1];
      for (const here of left) {
        const [sideBefore, side] = [within(before), within(here)];
        if ((side >= 0) !== (sideBefore >= 0)) {
          const share = sideBefore / (sideBefore - side);
          kept.push([before[0] + share * (here[0] - before[0]), before[1] + share * (here[1] - before[1])]);
        }
        if (side >= 0) kept.push(here);
        before = here;
      }
      return kept;
    }, ring);
  }

  const least = (values) => values.reduce((one, other) => Math.min(one, other), Infinity);
  const most = (values) => values.reduce((one, other) => Math.max(one, other), -Infinity);
  const reaches = (ring) => ring.map(([x, y]) => Math.hypot(x, y));

  // Whether a box around the ring stays clear of the circle around the origin.
  function isClear(ring, farthest) {
    const gap = (values) => Math.max(0, least(values), -most(values));
    return Math.hypot(gap(ring.map(([x]) => x)), gap(ring.map(([, y]) => y))) > farthest;
  }

  function areaInside(ring, convex, [nearest, farthest]) {
    if (isClear(ring, farthest)) return 0;
    return most(reaches(ring)) < nearest ? area(ring) : area(cut(ring, convex));
  }

  // Returns a function of an outline as Leaflet has it: [[outer ring, hole ...] ...] to a share from 0 to 1.
  function shares(centre, radius_m) {
    const toPlane = planeAround(centre);
    const convex = geodesicCircle.ring(centre, radius_m, CORNERS).map(toPlane);
    const corners = reaches(convex);
    const bounds = [least(corners) * Math.cos(Math.PI / CORNERS), most(corners)];
    return (outline) => {
      let [whole, within] = [0, 0];
      for (const rings of outline) {
        rings.forEach((ring, number) => {
          const placed = ring.map(toPlane);
          const sign = number === 0 ? 1 : -1;
          whole += sign * area(placed);
          within += sign * areaInside(placed, convex, bounds);
        });
      }
      return whole > 0 ? Math.min(1, Math.max(0, within / whole)) : 0;
    };
  }

  seasonMap.circleArea = { shares };
});
