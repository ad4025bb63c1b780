// Says so where a browser lacks what the page is made of. Written as browsers of any age read it.
(function () {
  var lacks = [];
  if (!window.Worker) lacks.push('workers');
  if (!window.WebAssembly || !WebAssembly.instantiateStreaming) lacks.push('WebAssembly');
  if (!window.DecompressionStream) lacks.push('unpacking');
  if (!window.Blob || !Blob.prototype.stream) lacks.push('streams');
  if (!('noModule' in document.createElement('script'))) lacks.push('modules');
  if (!lacks.length) return;
  var old = document.getElementById('old');
  old.hidden = false;
  old.appendChild(document.createTextNode('It lacks: ' + lacks.join(', ') + '.'));
})();
