declare module '@jscad/stl-deserializer' {
  import type { geometries } from '@jscad/modeling';

  type Solid = geometries.geom3.Geom3;
  const reader: {
    readonly deserialize: (options: { readonly output: 'geometry'; readonly filename: string }, input: string) => Solid;
  };
  export default reader;
}
