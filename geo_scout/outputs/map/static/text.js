'use strict';
// The one name all scripts share. Each file adds its own part to it, and parts begin once the data is read.
const seasonMap = {};

(() => {
  const SVG = 'http://www.w3.org/2000/svg';
  const parts = [];

  function fill(node, attributes, children) {
    for (const [name, value] of Object.entries(attributes)) {
      if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value === true ? '' : value);
    }
    node.append(...children.filter((child) => child !== null && child !== undefined));
    return node;
  }

  seasonMap.part = (begin) => parts.push(begin);
  seasonMap.begin = () => parts.splice(0).forEach((begin) => begin());

  // Strings among the children become text nodes: what a user typed is never read as markup.
  seasonMap.element = (tag, attributes = {}, ...children) => fill(document.createElement(tag), attributes, children);
  seasonMap.drawing = (tag, attributes = {}, ...children) => fill(document.createElementNS(SVG, tag), attributes, children);

  // A label as it stands inside a sentence.
  seasonMap.inSentence = (label) => label.charAt(0).toLowerCase() + label.slice(1);

  seasonMap.place = (id) => document.getElementById(id);

  seasonMap.replace = (node, ...children) => {
    node.replaceChildren(...children.filter((child) => child !== null && child !== undefined));
  };

  seasonMap.isNarrow = () => window.matchMedia('(max-width: 759px)').matches;

  // Read out by screen readers; nothing moves.
  seasonMap.say = (text) => { seasonMap.place('spoken').textContent = text; };
})();
