// Stands in the bundle for libraries that nothing in it may reach.
exports.create = () => {
  throw new Error('no font is opened here: the guide brings its own letters');
};
