/** The paint of what stands: light is reckoned at the corners, so that a point costs no more than a look at the shadows. */
import { DoubleSide, GLSL3, RawShaderMaterial, type IUniform } from 'three';

/** Leaves are gaps and patches of this size, turned so that they lie along no wall [m]. */
const LEAF_M = 0.065;
const FOG_M = [45, 140] as const;
export type Lights = Record<'sun' | 'sunlight' | 'above' | 'below' | 'far' | 'shadows' | 'shade', IUniform>;
export type Surface = 'whole' | 'leafy' | 'sheer';

const corner = (leafy: boolean): string => `
precision highp float;
in vec3 position; in vec3 normal; in vec4 color;
uniform mat4 projectionMatrix, viewMatrix, shade;
uniform vec3 sun, sunlight, above, below, far, cameraPosition;
out vec3 vLit; out vec3 vShade; out vec3 vAt; out float vStops;
${leafy ? 'out vec3 vLeaf;' : ''}
void main() {
  vec3 sky = color.rgb * mix(below, above, normal.y * 0.5 + 0.5);
  vec3 lit = sky + color.rgb * sunlight * max(dot(normal, sun), 0.0);
  float away = smoothstep(${FOG_M[0].toFixed(1)}, ${FOG_M[1].toFixed(1)}, distance(position, cameraPosition));
  vShade = mix(pow(sky, vec3(0.4545)), far, away);
  vLit = mix(pow(lit, vec3(0.4545)), far, away);
  vAt = (shade * vec4(position + normal * 0.04, 1.0)).xyz;
  vStops = color.a;
  ${leafy ? `vLeaf = mat3(0.80, 0.42, -0.43, -0.24, 0.89, 0.39, 0.55, -0.21, 0.81) * position / ${LEAF_M.toFixed(3)};` : ''}
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

const point = (surface: Surface): string => `
precision highp float;
precision highp sampler2D;
in vec3 vLit; in vec3 vShade; in vec3 vAt; in float vStops;
${surface === 'leafy' ? 'in vec3 vLeaf;' : ''}
uniform sampler2D shadows;
out vec4 seen;
void main() {
  ${surface === 'leafy' ? `float leaf = fract(sin(dot(floor(vLeaf), vec3(12.9898, 78.233, 37.719))) * 43758.5453);
  if (leaf > vStops) discard;` : ''}
  float lit = step(vAt.z, texture(shadows, vAt.xy).r + 0.0006);
  vec3 colour = mix(vShade, vLit, lit);
  ${surface === 'leafy' ? 'colour *= 0.86 + 0.28 * fract(leaf * 7.31);' : ''}
  seen = vec4(colour, ${surface === 'sheer' ? 'vStops' : '1.0'});
}`;

/** A paint for one sort of surface, lit by ``lights``, which all paints share. */
export function paintOf(surface: Surface, lights: Lights): RawShaderMaterial {
  const sheer = surface === 'sheer' ? { transparent: true, depthWrite: false, side: DoubleSide } : {};
  return new RawShaderMaterial({ glslVersion: GLSL3, uniforms: lights, vertexShader: corner(surface === 'leafy'), fragmentShader: point(surface), ...sheer });
}

/** What casts shadows, seen from the sun: nothing but how far it is. */
export function depthOnly(): RawShaderMaterial {
  return new RawShaderMaterial({
    glslVersion: GLSL3, colorWrite: false, side: DoubleSide,
    vertexShader: 'precision highp float; in vec3 position; uniform mat4 projectionMatrix, viewMatrix; void main() { gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0); }',
    fragmentShader: 'precision highp float; out vec4 seen; void main() { seen = vec4(1.0); }',
  });
}
