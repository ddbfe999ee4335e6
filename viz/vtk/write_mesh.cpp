#include "viz/vtk/write_mesh.h"

#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkIntArray.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkXMLPolyDataReader.h>
#include <vtkXMLPolyDataWriter.h>

#include "sim/base/error.h"
#include "viz/scene/output_file.h"
#include "viz/vtk/triangles.h"

namespace leverwright::vtk {

void write_vtp(const std::vector<MeshPiece>& pieces, const std::string& path) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  vtkNew<vtkCellArray> lines, triangles;
  vtkNew<vtkIntArray> bodies;  // lines come before polygons in a vtkPolyData's cells
  bodies->SetName("body");
  std::vector<int> of_triangles;
  for (const MeshPiece& piece : pieces) {
    if (!piece.closed) {
      lines->InsertNextCell(static_cast<int>(piece.points.size()));
      for (const scene::Point& p : piece.points)
        lines->InsertCellPoint(points->InsertNextPoint(p.x(), p.y(), 0));
      bodies->InsertNextValue(piece.body);
      continue;
    }
    for (const Triangle& t : fill_polygon(piece.points)) {
      triangles->InsertNextCell(3);
      for (const scene::Point& p : t) triangles->InsertCellPoint(points->InsertNextPoint(p.x(), p.y(), 0));
      of_triangles.push_back(piece.body);
    }
  }
  for (const int b : of_triangles) bodies->InsertNextValue(b);
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(lines);
  data->SetPolys(triangles);
  data->GetCellData()->AddArray(bodies);
  scene::OutputFile file(path);
  vtkNew<vtkXMLPolyDataWriter> writer;
  writer->SetFileName(file.part_path().c_str());
  writer->SetInputData(data);
  if (writer->Write() != 1 || read_vtp(file.part_path()).points != points->GetNumberOfPoints())
    throw base::UserError("cannot write " + path, "check free disk space");
  file.keep();
}

MeshCounts read_vtp(const std::string& path) {
  vtkNew<vtkXMLPolyDataReader> reader;
  reader->SetFileName(path.c_str());
  reader->Update();
  const vtkPolyData* found = reader->GetOutput();
  vtkPolyData* data = const_cast<vtkPolyData*>(found);
  double box[6];
  data->GetBounds(box);
  return {data->GetNumberOfPoints(),
          data->GetNumberOfLines(),
          data->GetNumberOfPolys(),
          box[0],
          box[1],
          data->GetCellData()->GetArray("body") != nullptr};
}

}  // namespace leverwright::vtk
