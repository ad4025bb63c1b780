// What an exact kernel says of meshes: sound FILE.off... prints a line for each: the file, whether it is closed, and, where it is a closed
// oriented surface, whether it crosses itself, bounds a volume, and faces outward. A file is an OFF of triangles on whole numbers.
//   c++ -O2 -o sound sound.cpp -lgmp -lmpfr
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/Polygon_mesh_processing/orient_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>

#include <fstream>
#include <iostream>
#include <set>
#include <string>
#include <utility>
#include <vector>

typedef CGAL::Exact_predicates_inexact_constructions_kernel Kernel;
typedef CGAL::Surface_mesh<Kernel::Point_3> Mesh;
namespace PMP = CGAL::Polygon_mesh_processing;

int main(int n, char** files) {
  for (int i = 1; i < n; i++) {
    std::ifstream in(files[i]);
    std::string word;
    std::size_t vertices = 0, faces = 0, edges = 0, three = 0;
    in >> word >> vertices >> faces >> edges;
    std::vector<Kernel::Point_3> points;
    std::vector<std::vector<std::size_t>> soup;
    double x, y, z;
    std::size_t a, b, c;
    while (points.size() < vertices && in >> x >> y >> z) points.emplace_back(x, y, z);
    while (soup.size() < faces && in >> three >> a >> b >> c) soup.push_back({a, b, c});
    if (word != "OFF" || points.size() != vertices || soup.size() != faces) {
      std::cerr << files[i] << " is no OFF file of triangles\n";
      return 1;
    }
    // A surface runs along no edge twice the same way; a vertex with two fans of faces is parted, so that it can be held as one.
    std::set<std::pair<std::size_t, std::size_t>> along;
    bool surface = true;
    for (auto& f : soup)
      for (int k = 0; k < 3; k++) surface = surface && along.insert({f[k], f[(k + 1) % 3]}).second;
    if (surface && !PMP::is_polygon_soup_a_polygon_mesh(soup)) PMP::orient_polygon_soup(points, soup);
    if (!surface) {
      std::cout << files[i] << " surface 0 closed 0 crosses 0 volume 0 outward 0\n";
      continue;
    }
    Mesh mesh;
    PMP::polygon_soup_to_polygon_mesh(points, soup, mesh);
    bool closed = CGAL::is_closed(mesh);
    bool crosses = PMP::does_self_intersect<CGAL::Sequential_tag>(mesh);
    bool volume = closed && !crosses && PMP::does_bound_a_volume(mesh);
    bool outward = volume && PMP::is_outward_oriented(mesh);
    std::cout << files[i] << " surface 1 closed " << closed << " crosses " << crosses << " volume " << volume << " outward " << outward << std::endl;
  }
}
