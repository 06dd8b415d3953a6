'use strict';
// A button of the panel: a word and what it does.
seasonMap.part(() => {
  seasonMap.plainButton = (label, act, attributes = {}) => {
    const button = seasonMap.element('button', { type: 'button', class: 'plain-button', ...attributes }, label);
    button.addEventListener('click', act);
    return button;
  };
});
