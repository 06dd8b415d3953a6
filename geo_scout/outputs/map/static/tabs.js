'use strict';
// The panel's tabs. Each file that fills one adds it; their order is that of the words.
seasonMap.part(() => {
  const { element, words, place, state } = seasonMap;
  const order = Object.keys(words.tabs);
  const list = element('div', { class: 'tabs', role: 'tablist', 'aria-label': words.tabsLabel });
  const panels = new Map(); // id -> {tab, panel}
  let shown = null;

  function show(id) {
    if (!panels.has(id)) return;
    shown = id;
    for (const [name, { tab, panel }] of panels) {
      const isShown = name === id;
      tab.setAttribute('aria-selected', String(isShown));
      tab.tabIndex = isShown ? 0 : -1;
      panel.hidden = !isShown;
    }
    state.tell('tab', id);
  }

  function step(event) {
    const ids = order.filter((id) => panels.has(id));
    const at = ids.indexOf(shown);
    const next = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: ids.length - 1 }[event.key];
    if (next === undefined) return;
    event.preventDefault();
    const id = ids[(next + ids.length) % ids.length];
    show(id);
    panels.get(id).tab.focus();
  }
  list.addEventListener('keydown', step);

  function add(id, label, content) {
    const tab = element('button', { type: 'button', role: 'tab', id: `tab-${id}`, 'aria-controls': `panel-${id}`, 'aria-selected': 'false' }, label);
    const panel = element('div', { class: 'tab-panel', role: 'tabpanel', id: `panel-${id}`, 'aria-labelledby': `tab-${id}`, tabindex: -1 }, content);
    panel.hidden = true;
    tab.addEventListener('click', () => show(id));
    panels.set(id, { tab, panel });
    const placed = order.filter((one) => panels.has(one));
    list.replaceChildren(...placed.map((one) => panels.get(one).tab));
    place('panels').replaceChildren(...placed.map((one) => panels.get(one).panel));
    if (shown === null || id === order[0]) show(id); else show(shown);
  }

  place('tabs').append(list);
  seasonMap.tabs = { add, show, shown: () => shown };
});
