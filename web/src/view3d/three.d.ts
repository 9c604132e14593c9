// three carries no types of its own; what is used of it stands in scene.ts alone.
declare module "three";
declare module "three/addons/controls/OrbitControls.js";
declare module "three/addons/loaders/GLTFLoader.js";
