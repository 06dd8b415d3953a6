'use strict';
// A list of names as buttons, a few at first and the rest when asked for.
seasonMap.part(() => {
  const { element, words } = seasonMap;
  const PAGE = 200;

  // labelOf(item) is what its button says, choose(item) what it does; `first` of them are shown at once.
  seasonMap.nameList = (items, labelOf, choose, first, attributesOf = () => ({})) => {
    const list = element('ul', { class: 'names' });
    const more = element('button', { type: 'button', class: 'plain-button' });
    let shown = 0;

    function row(item) {
      const button = element('button', { type: 'button', class: 'name-button', ...attributesOf(item) }, labelOf(item));
      button.addEventListener('click', () => choose(item));
      return element('li', {}, button);
    }

    function add(count) {
      const next = items.slice(shown, shown + count).map(row);
      list.append(...next);
      shown += next.length;
      more.hidden = shown === items.length;
      more.textContent = words.more(Math.min(PAGE, items.length - shown), items.length - shown);
      return next;
    }

    more.addEventListener('click', () => add(PAGE)[0].querySelector('button').focus());
    add(first);
    return [list, more];
  };
});
