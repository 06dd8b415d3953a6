'use strict';
// Text that any file can hold: no control characters, no halves of characters.
seasonMap.part(() => {
  // Tab, line feed and carriage return stay.
  const CONTROLS = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\ufffe\uffff]/g;
  const LONE_SURROGATES = /[\ud800-\udfff]/gu; // read by whole characters, only halves that lack the other match

  seasonMap.plainText = (value) => String(value).replace(LONE_SURROGATES, '').replace(CONTROLS, '');
});
