// The 3D view: the mesh that will be printed, lit flat, with a wedge cut out that shows both threads. A change is painted at
// once with plain edges, and smoothed when it rests: where the processor stands in for graphics, smooth edges take four times
// as long.

import { camera, light, matrix } from './camera.js';
import { extent } from './mesh.js';

const vertexShader = `#version 300 es
in vec3 point;
uniform mat4 place;
out vec3 at;
void main() {
  at = point;
  gl_Position = place * vec4(point, 1.0);
}`;

// What lies in the wedge is left out. The first face behind the cut is then seen from its inner side: it stands for the
// cut itself and is hatched, like a section.
const fragmentShader = `#version 300 es
precision highp float;
in vec3 at;
uniform vec3 light;
uniform float cut; // half of the wedge, in radians, about -y
uniform vec3 ink;
out vec4 colour;
void main() {
  if (cut > 0.0 && abs(atan(at.x, -at.y)) < cut) discard;
  if (!gl_FrontFacing) {
    float stripe = step(0.5, fract((gl_FragCoord.x - gl_FragCoord.y) / 14.0));
    colour = vec4(mix(vec3(0.79, 0.66, 0.36), vec3(0.66, 0.53, 0.26), stripe), 1.0);
    return;
  }
  vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
  colour = vec4(ink * (0.3 + 0.7 * max(dot(normal, light), 0.0)), 1.0);
}`;

/** rest is how long nothing may have changed, in ms, before the edges are smoothed. */
const rest = 500;

function compile(gl, kind, source) {
  const shader = gl.createShader(kind);
  gl.shaderSource(shader, source);
  gl.compileShader(shader);
  if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
  return shader;
}

/** open starts the view; null where the browser has no WebGL. */
export function open() {
  const canvas = document.getElementById('view');
  const cut = document.getElementById('cut');
  const gl = canvas.getContext('webgl2', { antialias: false });
  if (!gl) return null;
  let program;
  let size = null;
  let corners = 0;
  let last = null;
  let asked = false;
  let resting = 0;
  let smooth; // paints into many samples a pixel, and is shown through copying

  function setUp() {
    program = gl.createProgram();
    gl.attachShader(program, compile(gl, gl.VERTEX_SHADER, vertexShader));
    gl.attachShader(program, compile(gl, gl.FRAGMENT_SHADER, fragmentShader));
    gl.bindAttribLocation(program, 0, 'point');
    gl.linkProgram(program);
    gl.useProgram(program);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, gl.createBuffer());
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    gl.enable(gl.DEPTH_TEST);
    smooth = { frame: gl.createFramebuffer(), colour: gl.createRenderbuffer(), depth: gl.createRenderbuffer(), samples: Math.min(4, gl.getParameter(gl.MAX_SAMPLES)) };
  }

  /** fit sizes the many samples for a canvas of w by h. */
  function fit(w, h) {
    if (smooth.w === w && smooth.h === h) return;
    gl.bindFramebuffer(gl.FRAMEBUFFER, smooth.frame);
    for (const [place, buffer, form] of [[gl.COLOR_ATTACHMENT0, smooth.colour, gl.RGBA8], [gl.DEPTH_ATTACHMENT, smooth.depth, gl.DEPTH_COMPONENT24]]) {
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorageMultisample(gl.RENDERBUFFER, smooth.samples, form, w, h);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, place, gl.RENDERBUFFER, buffer);
    }
    Object.assign(smooth, { w, h });
  }

  function paint() {
    asked = false;
    clearTimeout(resting);
    if (!size || gl.isContextLost()) return;
    draw(false);
    resting = setTimeout(() => requestAnimationFrame(() => {
      if (!asked && !gl.isContextLost()) draw(true);
    }), rest);
  }

  function draw(smoothly) {
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    if (w === 0 || h === 0) return;
    if (smoothly) {
      fit(w, h);
      gl.bindFramebuffer(gl.FRAMEBUFFER, smooth.frame);
    }
    gl.viewport(0, 0, w, h);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const at = (name) => gl.getUniformLocation(program, name);
    gl.uniformMatrix4fv(at('place'), false, matrix(eye, size, w / h));
    gl.uniform1f(at('cut'), (cut.value / 2) * (Math.PI / 180));
    gl.uniform3fv(at('light'), light(eye));
    gl.uniform3fv(at('ink'), getComputedStyle(canvas).color.match(/[\d.]+/g).slice(0, 3).map((x) => x / 255));
    gl.drawElements(gl.TRIANGLES, corners, last.corners instanceof Uint16Array ? gl.UNSIGNED_SHORT : gl.UNSIGNED_INT, 0);
    if (smoothly) {
      gl.bindFramebuffer(gl.READ_FRAMEBUFFER, smooth.frame);
      gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, null);
      gl.blitFramebuffer(0, 0, w, h, 0, 0, w, h, gl.COLOR_BUFFER_BIT, gl.NEAREST);
      gl.bindFramebuffer(gl.FRAMEBUFFER, null);
      canvas.dataset.smooth = String(1 + Number(canvas.dataset.smooth ?? 0));
      return;
    }
    canvas.dataset.painted = String(1 + Number(canvas.dataset.painted ?? 0));
  }

  function repaint() {
    if (!asked) requestAnimationFrame(paint);
    asked = true;
  }

  function show(mesh) {
    last = mesh;
    size = extent(mesh.points);
    corners = mesh.corners.length;
    gl.bufferData(gl.ARRAY_BUFFER, mesh.points, gl.STATIC_DRAW);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, mesh.corners, gl.STATIC_DRAW);
    canvas.dataset.triangles = String(corners / 3);
    paint(); // at once, to be in the same frame as the drawing
  }

  const eye = camera(canvas, document.querySelectorAll('[data-move]'), repaint);
  try {
    setUp();
  } catch {
    return null;
  }
  cut.addEventListener('input', repaint);
  new ResizeObserver(repaint).observe(canvas);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', repaint);
  canvas.addEventListener('webglcontextlost', (e) => e.preventDefault());
  canvas.addEventListener('webglcontextrestored', () => {
    setUp();
    if (last) show(last);
  });
  return { show };
}
