"""Facts of triangles by three libraries from PyPI: trimesh, manifold3d, pymeshlab (GPL: tests only)."""
import manifold3d
import numpy as np
import pymeshlab
import scipy.sparse
import trimesh

# pymeshlab's search for crossings is left out above this; no file of ours comes near it.
MOST_TRIANGLES_CROSSING = 600_000


def merged(vertices, faces):
    """A trimesh with corners merged on a 1e-5 grid; faces with two equal corners and repeated faces
    dropped. Slivers without area but with three corners stay (see docs of `weld`)."""
    mesh = trimesh.Trimesh(vertices, faces, process=False)
    mesh.merge_vertices(merge_tex=True, merge_norm=True, digits_vertex=5)
    f = mesh.faces
    mesh.update_faces((f[:, 0] != f[:, 1]) & (f[:, 1] != f[:, 2]) & (f[:, 2] != f[:, 0]))
    mesh.update_faces(mesh.unique_faces())
    mesh.remove_unreferenced_vertices()
    return mesh


def shells(faces):
    """Pieces connected by edge, however many faces an edge has: trimesh's own list of neighbours
    leaves out edges with more than two."""
    if len(faces) == 0:
        return 0
    edges = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    _, edge = np.unique(edges, axis=0, return_inverse=True)
    face = np.repeat(np.arange(len(faces)), 3)
    count = len(faces) + edge.max() + 1
    graph = scipy.sparse.coo_matrix((np.ones(len(face), np.int8), (face, len(faces) + edge.ravel())), shape=(count, count))
    return int(scipy.sparse.csgraph.connected_components(graph, directed=False)[0])


def consistent(faces):
    """Whether no edge is run twice in the same direction."""
    runs = faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    return len(np.unique(runs, axis=0)) == len(runs)


def by_trimesh(mesh):
    closed = len(mesh.faces) > 0 and bool(mesh.is_watertight and mesh.is_winding_consistent)
    return {"watertight": closed, "volume": float(mesh.volume) if closed else None, "area": float(mesh.area),
            "shells": shells(np.asarray(mesh.faces))}


def kept(solid, vertices, faces):
    """How many of the triangles given are still there, corner for corner, after the import."""
    def corners(points, triples):
        turned = (tuple(map(tuple, points[triple])) for triple in triples.astype(np.int64))
        return {min((a, b, c), (b, c, a), (c, a, b)) for a, b, c in turned}

    mesh = solid.to_mesh64()
    imported = corners(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))
    return len(imported & corners(vertices, faces))


def by_manifold3d(mesh):
    """Its status, volume and area; where the area is not trimesh's, how many triangles it kept."""
    vertices, faces = np.asarray(mesh.vertices, np.float64), np.asarray(mesh.faces, np.uint64)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vert_properties=vertices, tri_verts=faces))
    status = str(solid.status()).removeprefix("Error.")
    if status != "NoError":
        return {"status": status, "volume": None, "area": None}
    out = {"status": status, "volume": solid.volume(), "area": solid.surface_area()}
    if abs(out["area"] - mesh.area) > 1e-9 * mesh.area:
        out["kept"] = [kept(solid, vertices, faces), len(faces)]
    return out


def filled(vertices, faces):
    meshes = pymeshlab.MeshSet()
    meshes.add_mesh(pymeshlab.Mesh(vertex_matrix=np.asarray(vertices, np.float64), face_matrix=np.asarray(faces, np.int32)))
    return meshes


def by_pymeshlab(mesh):
    meshes = filled(mesh.vertices, mesh.faces)
    topology, geometry = meshes.get_topological_measures(), meshes.get_geometric_measures()
    closed = topology["boundary_edges"] == 0 and topology["non_two_manifold_edges"] == 0
    closed = closed and consistent(np.asarray(mesh.faces))
    return {"watertight": bool(closed), "area": float(geometry["surface_area"]),
            "volume": float(geometry["mesh_volume"]) if closed else None,
            "shells": int(topology["connected_components_number"])}


def crossing_faces(vertices, faces):
    """Triangles that pymeshlab's search for self-intersections picks; None when there are too many."""
    if len(faces) > MOST_TRIANGLES_CROSSING:
        return None
    meshes = filled(vertices, faces)
    meshes.compute_selection_by_self_intersections_per_face()
    return np.nonzero(meshes.current_mesh().face_selection_array())[0].tolist()
