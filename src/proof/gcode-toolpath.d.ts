/** The part that is used of gcode-toolpath 3.0.0, which ships no types. */
declare module 'gcode-toolpath' {
  interface ToolpathPosition {
    readonly x: number;
    readonly y: number;
    readonly z: number;
  }
  interface ToolpathModal {
    readonly motion: string;
    readonly units: string;
    readonly plane: string;
    readonly distance: string;
    readonly wcs: string;
  }
  interface ToolpathOptions {
    readonly addLine: (modal: ToolpathModal, from: ToolpathPosition, to: ToolpathPosition) => void;
    readonly addArcCurve: () => void;
  }
  class Toolpath {
    constructor(options: ToolpathOptions);
    loadFromStringSync(text: string): unknown;
  }
  export default Toolpath;
}
