(function () {
  'use strict';
  var root = document.documentElement;
  root.classList.add('scripted');

  document.querySelectorAll('.motion').forEach(function (motion) {
    var frames = motion.querySelectorAll('.frame');
    var way = motion.querySelector('.way');
    function show() {
      frames.forEach(function (frame, number) {
        frame.classList.toggle('later', number !== Number(way.value));
      });
    }
    way.addEventListener('input', show);
    show();
  });

  // A page from a disk may have no memory; the switch works without it.
  var key = 'plica-measures';
  function remembered() {
    try { return window.localStorage.getItem(key); } catch (refused) { return null; }
  }
  function remember(value) {
    try { window.localStorage.setItem(key, value); } catch (refused) { return; }
  }
  document.querySelectorAll('input[name=measures]').forEach(function (choice) {
    if (choice.value === remembered()) { choice.checked = true; }
    choice.addEventListener('change', function () { remember(choice.value); });
  });
}());
