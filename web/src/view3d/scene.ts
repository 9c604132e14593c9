// Paints the roof that the engine made. Every point, share and word comes from
// Go; here are only camera, pens and light. It draws when something changed and
// never in a loop.
import * as THREE from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import type { Solid, SolidZone } from "../engine/types";

export type Layer = "zones" | "clips" | "bent";
export type Label = { text: string; x: number; y: number };
type Move = "left" | "right" | "up" | "down" | "nearer" | "farther" | "whole";

const bytes = (base64: string) => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)).buffer;
const point = (p: number[] | null) => new THREE.Vector3(...(p ?? [0, 0, 0]));
const points = (flat: number[] | null) => Array.from({ length: (flat ?? []).length / 3 }, (_, i) => point(flat!.slice(3 * i, 3 * i + 3)));

export class Scene {
  private renderer;
  private scene = new THREE.Scene();
  private camera = new THREE.PerspectiveCamera(32, 1, 0.05, 500);
  private controls;
  private layers: Record<Layer, any> = { zones: new THREE.Group(), clips: new THREE.Group(), bent: new THREE.Group() };
  private flat: any[] = []; // panels and caps, which give way to the bent ones
  private labels: { layer: Layer; text: string; at: any }[] = [];
  private sphere = new THREE.Sphere(new THREE.Vector3(), 1);
  private pens;
  private touched = false;

  /** Throws where the browser has no WebGL. */
  constructor(
    private canvas: HTMLCanvasElement,
    private solid: Solid,
    private labelled: (l: Label[]) => void,
  ) {
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    const css = getComputedStyle(canvas);
    const colour = (name: string) => new THREE.Color(css.getPropertyValue(name).trim());
    this.pens = { ink: colour("--ink"), film: colour("--film"), pine: colour("--pine"), stop: colour("--stop"), pencil: colour("--pencil"), sky: colour("--sky") };
    this.scene.add(new THREE.HemisphereLight(0xffffff, 0xb8b8b0, 2.6));
    const sun = new THREE.DirectionalLight(0xffffff, 1.2);
    sun.position.set(3, 8, 5);
    this.scene.add(sun);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.enableDamping = false;
    this.controls.addEventListener("change", () => this.draw());
    this.controls.addEventListener("start", () => (this.touched = true));
    for (const g of Object.values(this.layers)) {
      g.visible = false;
      this.scene.add(g);
    }
  }

  async load(): Promise<void> {
    const { scene } = await new GLTFLoader().parseAsync(bytes(this.solid.model ?? ""), "");
    const meshes: any[] = [];
    scene.traverse((o: any) => o.isMesh && meshes.push(o));
    for (const m of meshes) this.dress(m);
    this.scene.add(scene);
    this.sphere = new THREE.Box3().setFromObject(scene).getBoundingSphere(this.sphere);
    this.zones();
    this.clips();
    this.bent();
    this.whole();
  }

  private dress(m: any): void {
    const panel = m.userData.kind === "panel";
    if (panel) {
      m.material.opacity = Math.min(m.material.opacity, 0.5);
      m.material.depthWrite = false;
      m.material.side = THREE.DoubleSide;
      m.renderOrder = 1;
    } else m.material = new THREE.MeshLambertMaterial({ color: /metal/.test(m.material.name) ? this.pens.film : this.pens.pine, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    if (panel || m.userData.kind === "cap") this.flat.push(m);
    m.add(new THREE.LineSegments(new THREE.EdgesGeometry(m.geometry, 20), new THREE.LineBasicMaterial({ color: this.pens.ink })));
  }

  /** Hatched: the share of ink is the share of the hardest pull. */
  private zones(): void {
    for (const z of this.solid.zones ?? []) {
      const hatch = this.hatch(z.fill);
      const rings = z.rings ?? [];
      rings.forEach((r, i) => {
        const at = points(r.at);
        this.layers.zones.add(new THREE.LineLoop(new THREE.BufferGeometry().setFromPoints(at), new THREE.LineBasicMaterial({ color: this.pens.ink })));
        if (r.hole) return;
        const next = rings.findIndex((n, k) => k > i && !n.hole);
        const holes = rings.slice(i + 1, next < 0 ? undefined : next);
        const mesh = new THREE.Mesh(filled(r, holes), hatch);
        mesh.renderOrder = 2; // over the panels, which are clear
        this.layers.zones.add(mesh);
      });
      this.labels.push({ layer: "zones", text: z.name, at: point(z.label) });
    }
  }

  private hatch(fill: number) {
    return new THREE.ShaderMaterial({
      transparent: true,
      depthWrite: false,
      side: THREE.DoubleSide,
      uniforms: { pen: { value: this.pens.ink }, fill: { value: fill * 0.7 } },
      vertexShader: "varying vec2 at; void main() { at = uv; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }",
      fragmentShader: "uniform vec3 pen; uniform float fill; varying vec2 at; void main() { if (fract((at.x + at.y) * 6.0) > fill) discard; gl_FragColor = vec4(pen, 0.8); \n#include <colorspace_fragment>\n }",
    });
  }

  /** Bars: filled as far as they are used; past the top, taller and in the stop colour. */
  private clips(): void {
    const most = Math.max(...(this.solid.clips ?? []).filter((c) => c.checked).map((c) => c.used));
    let named = false;
    for (const c of this.solid.clips ?? []) {
      const foot = point(c.foot);
      const up = point(c.top).sub(foot);
      const tall = up.length();
      const turn = new THREE.Quaternion().setFromUnitVectors(new THREE.Vector3(0, 1, 0), up.clone().normalize());
      const bar = (part: number, wide: number) => new THREE.BoxGeometry(wide, tall * part, wide).translate(0, (tall * part) / 2, 0).applyQuaternion(turn).translate(foot.x, foot.y, foot.z);
      const pen = c.checked ? new THREE.LineBasicMaterial({ color: this.pens.ink }) : new THREE.LineDashedMaterial({ color: this.pens.ink, dashSize: 0.03, gapSize: 0.03 });
      const outline = new THREE.LineSegments(new THREE.EdgesGeometry(bar(1, 0.07)), pen);
      outline.computeLineDistances();
      this.layers.clips.add(outline);
      if (!c.checked) continue;
      const part = Math.min(c.used, 1.3);
      if (part > 0) this.layers.clips.add(new THREE.Mesh(bar(part, c.used > 1 ? 0.085 : 0.069), new THREE.MeshBasicMaterial({ color: c.used > 1 ? this.pens.stop : this.pens.ink })));
      if (c.used === most && !named) {
        named = true;
        this.labels.push({ layer: "clips", text: c.text.split(",")[0]!, at: foot.clone().addScaledVector(up, Math.max(part, 1) + 0.25) });
      }
    }
  }

  private bent(): void {
    for (const b of this.solid.bent ?? []) {
      const at = points(b.at);
      const rows = at.length / b.wide;
      const index: number[] = [];
      for (let r = 0; r + 1 < rows; r++)
        for (let c = 0; c + 1 < b.wide; c++) {
          const i = r * b.wide + c;
          index.push(i, i + 1, i + b.wide, i + 1, i + b.wide + 1, i + b.wide);
        }
      const g = new THREE.BufferGeometry().setFromPoints(at);
      g.setIndex(index);
      g.computeVertexNormals();
      this.layers.bent.add(new THREE.Mesh(g, new THREE.MeshLambertMaterial({ color: this.pens.sky, side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 })));
      const pen = new THREE.LineBasicMaterial({ color: this.pens.ink });
      const line = (p: any[]) => this.layers.bent.add(new THREE.Line(new THREE.BufferGeometry().setFromPoints(p), pen));
      const every = Math.max(1, Math.round((rows - 1) / 12));
      for (let r = 0; r < rows; r += every) line(at.slice(r * b.wide, (r + 1) * b.wide));
      for (const c of [0, Math.floor((b.wide - 1) / 2), b.wide - 1]) line(at.filter((_, i) => i % b.wide === c));
    }
  }

  show(on: Record<Layer, boolean>): void {
    for (const k of Object.keys(this.layers) as Layer[]) this.layers[k].visible = on[k];
    for (const m of this.flat) m.visible = !on.bent;
    this.draw();
  }

  size(w: number, h: number): void {
    this.renderer.setSize(w, h, false);
    this.camera.aspect = w / h;
    this.camera.updateProjectionMatrix();
    if (this.touched) this.draw();
    else this.whole();
  }

  private whole(): void {
    const half = (this.camera.fov * Math.PI) / 360;
    const far = (this.sphere.radius / Math.sin(Math.min(half, Math.atan(Math.tan(half) * this.camera.aspect)))) * 0.92;
    this.controls.target.copy(this.sphere.center);
    this.camera.position.copy(this.sphere.center).add(new THREE.Vector3(0.5, 0.62, 0.8).normalize().multiplyScalar(far));
    this.controls.maxDistance = far * 3;
    this.controls.minDistance = this.sphere.radius * 0.2;
    this.controls.update();
    this.draw();
  }

  move(m: Move): void {
    this.touched = m !== "whole";
    if (m === "whole") return this.whole();
    const s = new THREE.Spherical().setFromVector3(this.camera.position.clone().sub(this.controls.target));
    if (m === "left") s.theta -= Math.PI / 12;
    if (m === "right") s.theta += Math.PI / 12;
    if (m === "up") s.phi = Math.max(0.02, s.phi - Math.PI / 18);
    if (m === "down") s.phi = Math.min(Math.PI - 0.02, s.phi + Math.PI / 18);
    if (m === "nearer") s.radius = Math.max(this.controls.minDistance, s.radius / 1.25);
    if (m === "farther") s.radius = Math.min(this.controls.maxDistance, s.radius * 1.25);
    this.camera.position.copy(this.controls.target).add(new THREE.Vector3().setFromSpherical(s));
    this.controls.update();
    this.draw();
  }

  private draw(): void {
    this.renderer.render(this.scene, this.camera);
    const { clientWidth: w, clientHeight: h } = this.canvas;
    this.labelled(
      this.labels
        .filter((l) => this.layers[l.layer].visible)
        .map((l) => ({ text: l.text, at: l.at.clone().project(this.camera) }))
        .map((l) => ({ text: l.text, x: ((l.at.x + 1) / 2) * w, y: ((1 - l.at.y) / 2) * h })),
    );
  }

  close(): void {
    this.controls.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }
}

type Ring = NonNullable<SolidZone["rings"]>[number];

/** Triangles of an outline with its holes; where on the plane a point lies is its uv. */
function filled(ring: Ring, holes: Ring[]) {
  const pairs = (r: Ring) => Array.from({ length: (r.flat ?? []).length / 2 }, (_, i) => new THREE.Vector2(r.flat![2 * i], r.flat![2 * i + 1]));
  const faces: number[][] = THREE.ShapeUtils.triangulateShape(pairs(ring), holes.map(pairs));
  const g = new THREE.BufferGeometry().setFromPoints([ring, ...holes].flatMap((r) => points(r.at)));
  g.setAttribute("uv", new THREE.Float32BufferAttribute([ring, ...holes].flatMap((r) => r.flat ?? []), 2));
  g.setIndex(faces.flat());
  return g;
}
