'use strict';
// Unpacks the columns of large seasons: base64, gzip, then numbers and outlines as typed arrays.
(() => {
  const SHARE_STEPS = 2 ** 32 - 1;

  function bytesOf(text) {
    if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
    const binary = atob(text);
    const bytes = new Uint8Array(binary.length);
    for (let at = 0; at < bytes.length; at += 1) bytes[at] = binary.charCodeAt(at);
    return bytes;
  }

  // Not through a Blob: its bytes would go to another process of the browser and back.
  async function inflated(bytes) {
    const stream = new Response(bytes).body.pipeThrough(new DecompressionStream('gzip'));
    return new Uint8Array(await new Response(stream).arrayBuffer());
  }

  // Whole numbers below 2^31, seven bits a byte, the lowest first.
  function varints(bytes) {
    let count = 0;
    for (let at = 0; at < bytes.length; at += 1) if (bytes[at] < 128) count += 1;
    const values = new Uint32Array(count);
    let [number, value, shift] = [0, 0, 0];
    for (let at = 0; at < bytes.length; at += 1) {
      const byte = bytes[at];
      value |= (byte & 127) << shift;
      if (byte > 127) shift += 7;
      else {
        values[number] = value;
        number += 1;
        value = 0;
        shift = 0;
      }
    }
    return values;
  }

  function unplaned(bytes, width) {
    const count = bytes.length / width;
    const rows = new Uint8Array(bytes.length);
    for (let plane = 0; plane < width; plane += 1) {
      for (let row = 0; row < count; row += 1) rows[row * width + plane] = bytes[plane * count + row];
    }
    return rows.buffer;
  }

  function startsOf(counts) {
    const starts = new Uint32Array(counts.length + 1);
    for (let at = 0; at < counts.length; at += 1) starts[at + 1] = starts[at] + counts[at];
    return starts;
  }

  // Moves lead from vertex to vertex, and from each ring's first vertex to that of the next ring.
  function places(moves, ringStart) {
    const steps = new Int32Array(moves.length);
    let first = 0;
    for (let ring = 0; ring + 1 < ringStart.length; ring += 1) {
      let here = 0;
      for (let at = ringStart[ring]; at < ringStart[ring + 1]; at += 1) {
        if (at === ringStart[ring]) {
          first += (moves[at] >>> 1) ^ -(moves[at] & 1);
          here = first;
        } else here += (moves[at] >>> 1) ^ -(moves[at] & 1);
        steps[at] = here;
      }
    }
    return steps;
  }

  // Polygon p of patch g: polygonStart[g] up to polygonStart[g + 1]; its rings, and their vertices, likewise.
  function outlines([polygons, rings, vertices, east, north]) {
    const [polygonStart, ringStart, vertexStart] = [polygons, rings, vertices].map((bytes) => startsOf(varints(bytes)));
    const [longitude, latitude] = [east, north].map((bytes) => places(varints(bytes), vertexStart));
    return { count: polygonStart.length - 1, polygonStart, ringStart, vertexStart, longitude, latitude };
  }

  // Typed arrays' own from() takes ten times as long.
  function shares(bytes) {
    const steps = new Uint32Array(unplaned(bytes, 4));
    const values = new Float64Array(steps.length);
    for (let at = 0; at < steps.length; at += 1) values[at] = steps[at] / SHARE_STEPS;
    return values;
  }

  const KINDS = {
    json: ([bytes]) => JSON.parse(new TextDecoder().decode(bytes)),
    numbers: ([bytes]) => new Float64Array(unplaned(bytes, 8)),
    shares: ([bytes]) => shares(bytes),
    outlines,
  };

  function columnsOf(whole) {
    const length = new DataView(whole.buffer).getUint32(0, true);
    const table = JSON.parse(new TextDecoder().decode(whole.subarray(4, 4 + length)));
    let at = 4 + length;
    return Object.fromEntries(Object.entries(table).map(([name, { kind, lengths }]) => {
      const streams = lengths.map((size) => whole.subarray(at, (at += size)));
      return [name, KINDS[kind](streams)];
    }));
  }

  seasonMap.unpack = async (text) => columnsOf(await inflated(bytesOf(text)));

  // Puts every packed column where the rest has a gap for it.
  seasonMap.putTogether = ({ '': tree, ...columns }) => {
    for (const [path, column] of Object.entries(columns)) {
      const steps = path.split('/');
      const last = steps.pop();
      steps.reduce((node, step) => node[step], tree)[last] = column;
    }
    return tree;
  };

  // The rings of one patch, each [[latitude, longitude] ...], as Leaflet takes them.
  seasonMap.outlineOf = (packed, number) => {
    const polygons = [];
    for (let polygon = packed.polygonStart[number]; polygon < packed.polygonStart[number + 1]; polygon += 1) {
      const rings = [];
      for (let ring = packed.ringStart[polygon]; ring < packed.ringStart[polygon + 1]; ring += 1) {
        const positions = [];
        for (let at = packed.vertexStart[ring]; at < packed.vertexStart[ring + 1]; at += 1) positions.push([packed.latitude[at] / 1e5, packed.longitude[at] / 1e5]);
        rings.push(positions);
      }
      polygons.push(rings);
    }
    return polygons;
  };
})();
